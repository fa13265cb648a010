"""What is written in different ways brought into one form: case, dashes, spelling, endings, units."""

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from annotator.model.words.rules import (
    ENDINGS,
    FRONT_PARTS,
    PLURALS,
    SHORTEST_STEM,
    SPELLINGS,
    STOP_WORDS,
    SWAP,
    TURNING_WORDS,
    UNITS,
    WHOLE_WORDS,
)

LONGEST = 200
"""Characters of what is read as a name."""

MOST_WORDS = 12
"""Words of what is read as a name; what is longer is a sentence."""

_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "'": "", "’": ""})
_NUMBER = r"(\d+(?:[.,]\d+)?)"
_UNIT_NAMES = tuple(UNITS)
_MEASURE = re.compile(rf"\b{_NUMBER} ?(?:{'|'.join(f'({unit})' for unit in UNITS.values())})(?![a-z])")
_WORD = re.compile(r"\d+[.,]\d+|[^\W_]+|%")
_BETWEEN_LETTERS = re.compile(r"(?<=\b[a-z]) ?[/&.] ?(?=[a-z]\b)")
_DASHES = re.compile("[-\u2010-\u2015_]+")
_DIGIT = re.compile(r"\d")
_BRITISH = re.compile("|".join(pattern for pattern, _ in SPELLINGS))
_CONSONANTS = "bcdfghjklmnpqrstvwxz"
_DOUBLED_AT_THE_END = "fls"
_HOLDING = STOP_WORDS | TURNING_WORDS
_SHARE = re.compile(r"\d\s*[%pP]")
_PERCENT = re.compile(rf"{_NUMBER} %")


class Written(NamedTuple):
    """A name taken apart, with what is meant last: “removal of oil” as “oil removal”.

    words  as they stand there, in one letter case and without marks
    forms  what each of them comes to
    more   how many of them, from the first on, only say more of what is meant
    """

    words: tuple[str, ...]
    forms: tuple[str, ...]
    more: int


def folded(name: str) -> str:
    """Letter case, hyphens, dashes and runs of blanks make no difference to what a name means."""
    return " ".join(_DASHES.sub(" ", name).casefold().split())


@lru_cache(maxsize=4096)
def written(name: str) -> Written:
    """A name taken apart; nothing of one that is too long to be a name."""
    if len(name) > LONGEST:
        return Written((), (), 0)
    words = words_of(name)
    if len(words) > MOST_WORDS:
        return Written((), (), 0)
    turns = next((at for at, word in enumerate(words) if at and word in TURNING_WORDS and SWAP not in words), 0)
    more = [word for word in words[turns:] if word not in _HOLDING] if turns else []
    kept = (*more, *(word for word in words[: turns or None] if word not in _HOLDING))
    return Written(kept, tuple(map(form_of, kept)), len(more))


def words_of(text: str) -> list[str]:
    """The words of a text in small letters, numbers apart from their units; “I/A” and “I&A” are one, “ia”."""
    words: list[str] = []
    for word in _WORD.findall(_measured(_BETWEEN_LETTERS.sub("", plain_letters(text)))):
        if words and words[-1] in FRONT_PARTS and len(word) >= SHORTEST_STEM:
            word = words.pop() + word
        words.append(word)
    return words


def without_strength(name: str) -> tuple[str, str]:
    """A name without the share in percent that stands in it, and that share as it is printed, such as “20 %”."""
    if not _SHARE.search(name):
        return name, ""
    measured = _measured(plain_letters(name))
    found = _PERCENT.findall(measured)
    if len(found) != 1:
        return name, ""
    return _PERCENT.sub(" ", measured), f"{found[0].replace(',', '.')} %"


def plain_letters(name: str) -> str:
    """Small letters without marks, umlauts as two, dashes as blanks."""
    if name.isascii():
        return folded(name).replace("'", "")
    letters = unicodedata.normalize("NFKC", folded(name)).translate(_UMLAUTS)
    return "".join(one for one in unicodedata.normalize("NFD", letters) if not unicodedata.combining(one))


@lru_cache(maxsize=8192)
def form_of(word: str) -> str:
    """What the forms of one word have in common, in American spelling; it need not be a word."""
    if word in WHOLE_WORDS:
        return WHOLE_WORDS[word]
    if _BRITISH.search(word):
        for pattern, american in SPELLINGS:
            word = re.sub(pattern, american, word)
    if not word.isalpha() or len(word) < SHORTEST_STEM:
        return word
    word = _with_ending(word, PLURALS, SHORTEST_STEM - 1)
    for _ in range(2):
        word = _with_ending(word, ENDINGS, SHORTEST_STEM)
    return word[:-1] if _is_doubled(word, _DOUBLED_AT_THE_END) else word  # filling, as “cutting”, has lost one


def _with_ending(word: str, endings: Iterable[tuple[str, str]], shortest: int) -> str:
    """The word with the first ending that fits exchanged, where enough of it is left; “cutt” of cutting is “cut”."""
    for ending, instead in endings:
        if word.endswith(ending) and len(word) - len(ending) + len(instead) >= shortest:
            stem = word.removesuffix(ending)
            return stem[:-1] if not instead and _is_doubled(stem, _CONSONANTS) else stem + instead
    return word


def _is_doubled(stem: str, letters: str) -> bool:
    return stem[-1] == stem[-2] and stem[-1] in letters


def _measured(name: str) -> str:
    """Numbers with their units in one form, such as “25 gauge”."""
    return _MEASURE.sub(_measure, name) if _DIGIT.search(name) else name


def _measure(found: re.Match[str]) -> str:
    return f" {found[1]} {_UNIT_NAMES[(found.lastindex or 2) - 2]} "
