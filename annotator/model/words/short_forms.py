"""Abbreviations that names explain themselves: “ILM peeling” beside “Inner limiting membrane peeling”."""

import re
from collections.abc import Iterable, Iterator
from itertools import groupby, islice
from operator import attrgetter
from typing import NamedTuple

from annotator.model.words.forms import written

Forms = tuple[str, ...]

MOST_OF_ONE = 60
"""Names of one thing that are compared with each other; few have more than ten."""

_ABBREVIATION = re.compile(r"(?=(?:.*[A-Z]){2})[A-Za-z]{2,5}")


class Name(NamedTuple):
    """One of the names of a thing, and the thing."""

    meant: str
    text: str


def short_forms(names: Iterable[Name]) -> dict[Forms, str]:
    """What one name of a thing writes out and another abbreviates: the forms of its words, and the letters."""
    found: dict[Forms, str] = {}
    for _, of_one in groupby(names, attrgetter("meant")):
        texts = [name.text for name in islice(of_one, MOST_OF_ONE)]
        shorts = [(text, letters) for text in texts for letters in text.split() if _ABBREVIATION.fullmatch(letters)]
        for text, letters in shorts:
            for other in texts:
                for forms in _written_out(text, letters.lower(), other):
                    found.setdefault(forms, letters.lower())
    return found


def _written_out(text: str, letters: str, other: str) -> Iterator[Forms]:
    """The part of `other` that stands where `text` has the letters, if all else is the same."""
    short, long = written(text), written(other)
    if letters not in short.forms:
        return
    at = short.forms.index(letters)
    before, after = short.forms[:at], short.forms[at + 1 :]
    end = len(long.forms) - len(after)
    if end <= at or long.forms[:at] != before or long.forms[end:] != after:
        return
    if _abbreviates(letters, long.words[at:end]):
        yield long.forms[at:end]


def _abbreviates(letters: str, words: Forms) -> bool:
    """Each word gives its first letter, and the rest come from inside of them, in order."""
    if words == (letters,):
        return False
    initials = [word[0] for word in words]
    return letters[0] == initials[0] and _within(initials, letters) and _within(letters, "".join(words))


def _within(some: Iterable[str], letters: Iterable[str]) -> bool:
    """Whether letters stand among others in the same order."""
    rest = iter(letters)
    return all(one in rest for one in some)


class ShortForms:
    """What has an abbreviation, to put that in its place."""

    def __init__(self, names: Iterable[Name]) -> None:
        self.letters = short_forms(names)
        self._longest = max(map(len, self.letters), default=0)
        self._first = frozenset(forms[0] for forms in self.letters)

    def put_in(self, forms: Forms) -> Forms:
        """The forms of words with each abbreviation in the place of what it stands for, the longest first."""
        if self._first.isdisjoint(forms):
            return forms
        made: list[str] = []
        at = 0
        while at < len(forms):
            sizes = range(min(self._longest, len(forms) - at), 0, -1)
            size = next((size for size in sizes if forms[at : at + size] in self.letters), 0)
            made.append(self.letters[forms[at : at + size]] if size else forms[at])
            at += size or 1
        return tuple(made)
