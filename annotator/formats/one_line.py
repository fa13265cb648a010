"""Text from anyone as one harmless line: no line breaks, no control characters, no stray direction marks."""

import unicodedata

_POP_EMBEDDING, _POP_ISOLATE = "\u202c", "\u2069"
_CLOSED_BY = dict.fromkeys("\u202a\u202b\u202d\u202e", _POP_EMBEDDING) | dict.fromkeys(
    "\u2066\u2067\u2068", _POP_ISOLATE
)
"""What opens a run of another direction, and what closes it (Unicode Standard Annex 9, table of explicit codes)."""


def one_line(text: str) -> str:
    """The text with white space folded to single blanks, without control characters, direction marks in pairs.

    Lone surrogates, which no UTF-8 file can hold, become U+FFFD.
    """
    harmless = "".join(_harmless(character) for character in " ".join(text.split()))
    return balanced(" ".join(harmless.split()))


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


def _harmless(character: str) -> str:
    category = unicodedata.category(character)
    if category == "Cs":
        return "\ufffd"
    return "" if category == "Cc" else character
