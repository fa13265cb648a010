"""The tags of a case in order of time: frozen, and so made that an edit among tens of thousands costs little.

They lie in blocks of a few hundred, and these in groups. A changed list has all of them in common with the one that it
was made from but those in which something changed, and with them what is known of them: whoever walks from block to
block passes over whole groups. A question about a time passes over every block that does not reach there.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from functools import cached_property, partial
from itertools import chain, islice
from operator import eq
from typing import TYPE_CHECKING, Any, TypeVar, overload

from annotator.model.timecode import Ms

if TYPE_CHECKING:
    from annotator.model.case import Tag

Item = TypeVar("Item")
Value = TypeVar("Value")
Carried = TypeVar("Carried")

MOST = 256
"""Tags in a block: few enough to walk through them, many enough that there are few blocks."""

MOST_BLOCKS = 16
"""Blocks in a group, for the same reason."""

FOR_EVER: Ms = 2**63
"""Where a running tag reaches: later than any time that a case holds."""

_FEWER = 16
"""So many times fewer tags are changed in an index, at most, than it has."""


class _Remembers:
    """What has been worked out from the parts of something frozen, by name."""

    @cached_property
    def _kept(self) -> dict[str, tuple[object, Any]]:
        return {}

    def once(self, name: str, on: tuple[object, ...], work_out: Callable[[], Value]) -> Value:
        """What `work_out` gives, which follows from these parts and from `on` alone; by `name` it is known again."""
        kept = self._kept.get(name)
        if kept is None or kept[0] != on:
            kept = self._kept[name] = on, work_out()
        value: Value = kept[1]
        return value


class Block(_Remembers, tuple["Tag", ...]):
    """Some tags that follow one another in order of time, one at least."""

    @property
    def start(self) -> Ms:
        return self[0].start

    @cached_property
    def reach(self) -> Ms:
        """Until when one of them lasts at most."""
        return max(FOR_EVER if tag.end is None else tag.end for tag in self)

    @cached_property
    def by_term(self) -> Mapping[str, Sequence["Tag"]]:
        """The tags of each concept, by its IRI."""
        found: dict[str, list[Tag]] = {}
        for tag in self:
            found.setdefault(tag.concept, []).append(tag)
        return found

    @property
    def concepts(self) -> AbstractSet[str]:
        return self.by_term.keys()

    @cached_property
    def running(self) -> tuple["Tag", ...]:
        return tuple(tag for tag in self if tag.end is None)

    @cached_property
    def ends(self) -> tuple[Ms, ...]:
        """Of those that have ended, in order."""
        return tuple(sorted(tag.end for tag in self if tag.end is not None))


Step = Callable[[Block, Carried], tuple[Value, Carried]]
"""Gives what a block adds, and what it leaves for the next, from what the one before it left."""

Join = Callable[[Sequence[Value]], Value]
"""Makes one value of what neighbours add, in order."""


class Group(_Remembers, tuple[Block, ...]):
    """Some blocks that follow one another, one at least."""

    @property
    def start(self) -> Ms:
        return self[0].start

    @cached_property
    def reach(self) -> Ms:
        """Until when one of their tags lasts at most."""
        return max(block.reach for block in self)

    def through(
        self, name: str, on: tuple[object, ...], start: Carried, step: Step[Carried, Value], join: Join[Value]
    ) -> tuple[Value, Carried]:
        found = []
        for block in self:
            value, start = block.once(name, (*on, start), partial(step, block, start))
            found.append(value)
        return join(found), start


class ById(Mapping[str, "Tag"]):
    """Tags by id: those of an earlier list, shared with it, and over them the few that have changed since."""

    def __init__(self, earlier: dict[str, "Tag"], since: dict[str, "Tag | None"]) -> None:
        self._earlier = earlier
        self._since = since

    def changed(self, since: Mapping[str, "Tag | None"]) -> "ById":
        """With other tags; None: without any."""
        changed = ById(self._earlier, {**self._since, **since})
        return changed if len(changed._since) * _FEWER < len(self._earlier) else ById(dict(changed.items()), {})

    def __getitem__(self, tag_id: str) -> "Tag":
        if tag_id in self._since:
            tag = self._since[tag_id]
            if tag is None:
                raise KeyError(tag_id)
            return tag
        return self._earlier[tag_id]

    def __iter__(self) -> Iterator[str]:
        yield from (tag_id for tag_id in self._earlier if tag_id not in self._since)
        yield from (tag_id for tag_id, tag in self._since.items() if tag is not None)

    def __len__(self) -> int:
        return len(self._earlier) + sum(
            (tag is not None) - (tag_id in self._earlier) for tag_id, tag in self._since.items()
        )


class TagList(Sequence["Tag"]):
    """Made by `tag_list`, or of another by `exchanged`; equal to any sequence of the same tags."""

    def __init__(self, groups: tuple[Group, ...], by_id: ById) -> None:
        self.groups = groups
        self.blocks = tuple(chain.from_iterable(groups))
        self.by_id = by_id
        self._starts = [place_in_time(block[0]) for block in self.blocks]

    def exchanged(self, put: Iterable["Tag"], drop: Iterable[str]) -> "TagList":
        """With tags added, or put in the place of those with the same id, and others taken out."""
        coming = {tag.id: tag for tag in put}
        since: dict[str, Tag | None] = {tag_id: None for tag_id in drop if tag_id in self.by_id}
        since.update(coming)
        leaving = [self.by_id[tag_id] for tag_id in since if tag_id in self.by_id]
        return TagList(self._exchanged(leaving, coming.values()), self.by_id.changed(since))

    def walk(
        self, name: str, on: tuple[object, ...], start: Carried, step: Step[Carried, Value], join: Join[Value]
    ) -> tuple[list[Value], Carried]:
        """From block to block: what each group adds, and what the last block leaves; `start` is left for the first.

        It follows from the tags, from `start` and from `on` alone. Where nothing of this has changed it is known again
        by `name`: so what is left should be nothing that later blocks don't need.
        """
        found = []
        for group in self.groups:
            value, start = group.once(name, (*on, start), partial(group.through, name, on, start, step, join))
            found.append(value)
        return found, start

    def each(
        self, name: str, on: tuple[object, ...], work_out: Callable[[Block], Value], join: Join[Value]
    ) -> list[Value]:
        """The same where no block needs anything of those before it."""
        return self.walk(name, on, None, lambda block, _: (work_out(block), None), join)[0]

    def near(self, first: Ms, last: Ms, terms: AbstractSet[str] | None = None) -> Iterator["Tag"]:
        """The tags (of some concepts) that start at `last` or before and end at `first` or after, in order."""
        for block in self.blocks:
            if block[0].start > last:
                return
            if block.reach >= first and (terms is None or not terms.isdisjoint(block.concepts)):
                close = (tag for tag in block if tag.start <= last and (tag.end is None or tag.end >= first))
                yield from (tag for tag in close if terms is None or tag.concept in terms)

    def edge_before(self, at: Ms) -> Ms | None:
        """The last time before `at` at which a tag starts or ends."""
        begun = [block for block in self.blocks if block[0].start < at]
        starts = [tag.start for block in begun[-1:] for tag in block if tag.start < at]
        ends = [block.ends[place - 1] for block in begun if (place := bisect_left(block.ends, at))]
        return max(starts[-1:] + ends, default=None)

    def edge_after(self, at: Ms) -> Ms | None:
        """The first time after `at` at which a tag starts or ends."""
        starts = (tag.start for block in self.blocks if block[-1].start > at for tag in block if tag.start > at)
        ends = [block.ends[place] for block in self.blocks if (place := bisect_right(block.ends, at)) < len(block.ends)]
        return min([*islice(starts, 1), *ends], default=None)

    def __len__(self) -> int:
        return sum(map(len, self.blocks))

    def __iter__(self) -> Iterator["Tag"]:
        return chain.from_iterable(self.blocks)

    @overload
    def __getitem__(self, at: int) -> "Tag": ...

    @overload
    def __getitem__(self, at: slice) -> tuple["Tag", ...]: ...

    def __getitem__(self, at: int | slice) -> "Tag | tuple[Tag, ...]":
        if isinstance(at, slice):
            return tuple(self)[at]
        place = range(len(self))[at]
        return next(islice(self, place, None))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, TagList | tuple):
            return NotImplemented
        return self is other or (len(self) == len(other) and all(map(eq, self, other)))

    __hash__ = None  # type: ignore[assignment]  # as a tuple of tags has none: a tag holds what is not hashable

    def __repr__(self) -> str:
        return repr(tuple(self))

    def _exchanged(self, leaving: Iterable["Tag"], coming: Iterable["Tag"]) -> tuple[Group, ...]:
        leave: dict[int, set[str]] = defaultdict(set)
        come: dict[int, list[Tag]] = defaultdict(list)
        for tag in leaving:
            leave[self._block_of(tag)].add(tag.id)
        for tag in coming:
            come[self._block_of(tag)].append(tag)
        changed: dict[int, list[Block]] = {}
        for index in leave.keys() | come.keys():
            stay = (tag for block in self.blocks[index : index + 1] for tag in block if tag.id not in leave[index])
            changed[index] = _in_blocks(in_order([*stay, *come[index]]))
        return self._regrouped(changed) if self.groups else _in_groups(list(chain.from_iterable(changed.values())))

    def _regrouped(self, changed: Mapping[int, Sequence[Block]]) -> tuple[Group, ...]:
        """With other blocks, or none, in the place of some."""
        found: list[Group] = []
        reached = 0
        for group in self.groups:
            numbers = range(reached, reached + len(group))
            reached += len(group)
            if changed.keys().isdisjoint(numbers):
                found.append(group)
            else:
                found += _in_groups(
                    [one for number in numbers for one in changed.get(number, self.blocks[number : number + 1])]
                )
        return tuple(found)

    def _block_of(self, tag: "Tag") -> int:
        return max(bisect_right(self._starts, place_in_time(tag)) - 1, 0)


def tag_list(tags: Sequence["Tag"]) -> TagList:
    """The tags as such a list, in order of time."""
    if isinstance(tags, TagList):
        return tags
    return TagList(_in_groups(_in_blocks(in_order(tags))), ById({tag.id: tag for tag in tags}, {}))


def in_order(tags: Iterable["Tag"]) -> tuple["Tag", ...]:
    """Tags by start, then the longer first, then by id; a running tag counts as the longest."""
    return tuple(sorted(tags, key=place_in_time))


def place_in_time(tag: "Tag") -> tuple[Ms, float, str]:
    """By which tags are put in order."""
    return tag.start, float("-inf") if tag.end is None else -tag.end, tag.id


def _in_blocks(tags: Sequence["Tag"]) -> list[Block]:
    return [Block(part) for part in _parted(tags, MOST)]


def _in_groups(blocks: Sequence[Block]) -> tuple[Group, ...]:
    return tuple(Group(part) for part in _parted(blocks, MOST_BLOCKS))


def _parted(items: Sequence[Item], most: int) -> list[Sequence[Item]]:
    """In parts of about the same length."""
    length = -(-len(items) // max(1, -(-len(items) // most)))
    return [items[at : at + length] for at in range(0, len(items), length)] if items else []
