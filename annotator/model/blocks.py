"""Tags in order of time, cut into blocks that a case shares with the one an edit made of it.

An edit among tens of thousands makes one block anew, and with it what is known of that block alone;
a question about a time passes over every block that does not reach there.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from annotator.model.timecode import Ms

if TYPE_CHECKING:
    from annotator.model.case import Tag

MOST = 512
"""Tags in a block: few enough to walk through one, many enough that there are few of them."""

FOR_EVER: Ms = 2**63
"""Where a running tag reaches: later than any time that a case holds."""

Key = tuple[Ms, float, str]


class Block(tuple["Tag", ...]):
    """Some tags that follow one another in order of time, one at least."""

    @cached_property
    def reach(self) -> Ms:
        """Until when one of them lasts at most; a running one lasts for ever."""
        return max(FOR_EVER if tag.end is None else tag.end for tag in self)

    @cached_property
    def concepts(self) -> frozenset[str]:
        return frozenset(tag.concept for tag in self)

    @cached_property
    def running(self) -> tuple["Tag", ...]:
        return tuple(tag for tag in self if tag.end is None)

    @cached_property
    def ends(self) -> tuple[Ms, ...]:
        """Of those that have ended, in order."""
        return tuple(sorted(tag.end for tag in self if tag.end is not None))


def place_in_time(tag: "Tag") -> Key:
    """By start, then the longer first, then by id; a running tag counts as the longest."""
    return tag.start, float("-inf") if tag.end is None else -tag.end, tag.id


def in_blocks(tags: Sequence["Tag"]) -> tuple[Block, ...]:
    """Tags that are in order of time already, in blocks of about the same length."""
    if not tags:
        return ()
    length = -(-len(tags) // -(-len(tags) // MOST))
    return tuple(Block(tags[at : at + length]) for at in range(0, len(tags), length))


def exchanged(blocks: Sequence[Block], gone: Iterable["Tag"], come: Iterable["Tag"]) -> tuple[Block, ...]:
    """The blocks without the tags that have `gone`, and with those that have `come`, whose ids no other has."""
    starts = [place_in_time(block[0]) for block in blocks]

    def block_of(tag: "Tag") -> int:
        return max(bisect_right(starts, place_in_time(tag)) - 1, 0)

    leaving: dict[int, set[str]] = defaultdict(set)
    coming: dict[int, list[Tag]] = defaultdict(list)
    for tag in gone:
        leaving[block_of(tag)].add(tag.id)
    for tag in come:
        coming[block_of(tag)].append(tag)
    parts: list[Block] = []
    reached = 0
    for index in sorted(leaving.keys() | coming.keys()):
        parts += blocks[reached:index]
        stay = (tag for block in blocks[index : index + 1] for tag in block if tag.id not in leaving[index])
        parts += in_blocks(sorted([*stay, *coming[index]], key=place_in_time))
        reached = index + 1
    return (*parts, *blocks[reached:])
