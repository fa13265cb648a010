"""What makes one case of another: the tags that differ, and the rest of the case where that differs."""

from collections.abc import Mapping
from typing import NamedTuple

from msgspec.structs import replace

from annotator.model.case import Case, Tag, with_tags
from annotator.model.tag_list import in_order


class Delta(NamedTuple):
    """One direction of a change.

    put   tags to add, or to put in the place of those with the same id
    drop  ids of tags to take out
    head  a case whose fields but for the tags are to be taken over; None where only tags differ
    """

    put: tuple[Tag, ...]
    drop: tuple[str, ...]
    head: Case | None

    @property
    def ids(self) -> frozenset[str]:
        """Of all tags that differ."""
        return frozenset(tag.id for tag in self.put).union(self.drop)

    @property
    def is_empty(self) -> bool:
        return not self.put and not self.drop and self.head is None


def between(before: Case, after: Case) -> tuple[Delta, Delta]:
    """How to come from `before` to `after`, and how to come back.

    Blocks that both have are passed over unseen, and then tags that are the same object in both, so that comparing
    costs little where an edit touched a few of thousands.
    """
    was, now = _by_object(before, after), _by_object(after, before)
    gone = {tag.id: tag for tag in in_order(was[key] for key in was.keys() - now.keys())}
    come = {tag.id: tag for tag in in_order(now[key] for key in now.keys() - was.keys())}
    same_head = replace(before, tags=()) == replace(after, tags=())
    return _one_way(gone, come, None if same_head else after), _one_way(come, gone, None if same_head else before)


def applied(case: Case, delta: Delta) -> Case:
    """The case with a change made."""
    base = case if delta.head is None else replace(delta.head, tags=case.tags)
    return with_tags(base, delta.put, delta.drop)


def _by_object(case: Case, other: Case) -> dict[int, Tag]:
    """The tags of a case that are not in a block of the other."""
    seen = {id(block) for block in other.tag_list.blocks}
    return {id(tag): tag for block in case.tag_list.blocks if id(block) not in seen for tag in block}


def _one_way(gone: Mapping[str, Tag], come: Mapping[str, Tag], head: Case | None) -> Delta:
    put = tuple(tag for tag in come.values() if gone.get(tag.id) != tag)
    drop = tuple(tag_id for tag_id in gone if tag_id not in come)
    return Delta(put, drop, None if head is None else replace(head, tags=()))
