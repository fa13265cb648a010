"""A score sheet, and the scores that raters gave by it. Raters are roles of the sheet, never names."""

from collections.abc import Mapping, Sequence
from typing import TypeVar

import msgspec

from annotator.errors import InvalidEdit
from annotator.model.named import Named, unknown
from annotator.model.words.forms import folded

_Kind = TypeVar("_Kind", bound=Named)

NOT_DONE = "not done"
"""What is said in place of a score where an item did not arise in a case."""


class Level(msgspec.Struct, frozen=True):
    """A score and, by language tag, what it means."""

    score: int
    anchor: Mapping[str, str]


class Item(Named, frozen=True):
    """One thing that is scored, its levels from the lowest to the highest score."""

    levels: tuple[Level, ...] = ()
    definition: Mapping[str, str] = {}


class Score(msgspec.Struct, frozen=True):
    """What one rater gave one item, by their codes; None where it was not done."""

    rater: str
    item: str
    score: int | None


class Sheet(Named, frozen=True):
    """Items with anchored levels, who may score them, and where the sheet comes from."""

    items: tuple[Item, ...] = ()
    raters: tuple[Named, ...] = ()
    source: str = ""

    def rater(self, words: str) -> Named:
        """The rater that typed words mean. Raises UnknownName with the list."""
        return _meant("rater", words, self.raters)

    def item(self, words: str) -> Item:
        """The item that typed words mean. Raises UnknownName with the list."""
        return _meant("item", words, self.items)

    def meant(self, rater: str, item: str, words: str) -> Score:
        """The score that words mean. Raises UnknownName, and InvalidEdit for what is no level of the item."""
        who, what = self.rater(rater), self.item(item)
        if folded(words) == folded(NOT_DONE):
            return Score(who.code, what.code, None)
        for level in what.levels:
            if words.strip() == str(level.score):
                return Score(who.code, what.code, level.score)
        levels = ", ".join(str(level.score) for level in what.levels)
        raise InvalidEdit(f"“{words}” is no score of {what.code}; give one of {levels}, or {NOT_DONE}")


def with_scores(scores: Sequence[Score], new: Sequence[Score]) -> tuple[Score, ...]:
    """The scores with new ones, each in the place of what the same rater gave the same item."""
    kept = {(one.rater, one.item): one for one in (*scores, *new)}
    return tuple(kept.values())


def without_scores(scores: Sequence[Score], rater: str, items: Sequence[str]) -> tuple[Score, ...]:
    """The scores without those that a rater gave some items, by their codes."""
    return tuple(one for one in scores if one.rater != rater or one.item not in items)


def _meant(kind: str, words: str, listed: Sequence[_Kind]) -> _Kind:
    for one in listed:
        if folded(words) in map(folded, one.names()):
            return one
    raise unknown(kind, words, listed)
