"""Text from anyone's file, made fit to be shown: it may say what it likes, but not act on what shows it.

A terminal obeys control characters, line and paragraph separators break a line in two, marks of direction turn round
what stands behind them, characters without width hide between others, and no encoding holds half of a character.
Three degrees: `plain` for a word in a sentence, `shown` for whole lines on a terminal, `one_line` for a title that is
passed on, where Hebrew and Arabic keep the marks that they need.
"""

import unicodedata

LONGEST = 1_000
"""Characters of a text in a sentence."""

_POP_EMBEDDING, _POP_ISOLATE = "\u202c", "\u2069"
_CLOSED_BY = dict.fromkeys("\u202a\u202b\u202d\u202e", _POP_EMBEDDING) | dict.fromkeys(
    "\u2066\u2067\u2068", _POP_ISOLATE
)
"""What opens a run of another direction, and what closes it (Unicode Standard Annex 9, table of explicit codes)."""

_JOINERS = "\u200c\u200d"
"""Without width, but part of how some scripts, and many pictographs, are spelt."""

_HALF = "\ufffd"
"""Stands for half of a character (Unicode Standard, section 3.9: the replacement character)."""


def plain(text: str, most: int = LONGEST) -> str:
    """The text on one line of at most `most` characters, white space folded, nothing in it that is not seen."""
    line = " ".join(_seen(text[: 8 * most]).split())
    return line if len(line) <= most else f"{line[: most - 1]}…"


def shown(text: str) -> str:
    """The text with its lines and its blanks as they are, and nothing in it that a terminal would obey."""
    return "\n".join(map(_seen, text.split("\n")))


def quoted(text: str, most: int = 80) -> str:
    """A name in a sentence: “name”."""
    return f"“{plain(text, most)}”"


def one_line(text: str) -> str:
    """The text with white space folded to single blanks, without control characters, direction marks in pairs.

    Lone surrogates, which no UTF-8 file can hold, become U+FFFD.
    """
    harmless = "".join(_without_controls(character) for character in " ".join(text.split()))
    return balanced(" ".join(harmless.split()))


def capitalised(text: str) -> str:
    """The text as a line or a sentence begins; the rest of it stays."""
    return text[:1].upper() + text[1:]


def balanced(text: str) -> str:
    """The text with every direction run that it opens closed again, and no mark that closes what was not opened.

    Without this a title could turn round the text that a player shows behind it.
    """
    kept: list[str] = []
    waiting: list[str] = []
    for character in text:
        if character in _CLOSED_BY:
            waiting.append(_CLOSED_BY[character])
        elif character in (_POP_EMBEDDING, _POP_ISOLATE):
            if not waiting or waiting[-1] != character:
                continue
            waiting.pop()
        kept.append(character)
    return "".join(kept) + "".join(reversed(waiting))


def is_control(character: str) -> bool:
    """Whether it is a control character (C0, delete, C1) or half of a character: what no text needs."""
    return unicodedata.category(character) in ("Cc", "Cs")


def is_seen(character: str) -> bool:
    """Whether a character shows itself and does nothing else; a joiner shows itself in what it joins."""
    return _as_seen(character) == character


def _seen(line: str) -> str:
    return line if line.isprintable() else "".join(map(_as_seen, line))


def _as_seen(character: str) -> str:
    match unicodedata.category(character):
        case "Cc" | "Zl" | "Zp":
            return " "
        case "Cf":
            return character if character in _JOINERS else ""
        case "Cs":
            return _HALF
    return character


def _without_controls(character: str) -> str:
    category = unicodedata.category(character)
    if category == "Cs":
        return _HALF
    return "" if category == "Cc" else character
