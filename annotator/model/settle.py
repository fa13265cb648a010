"""Settle what goes on over a stretch of time, where two people have said different things."""

from collections.abc import Callable

from msgspec.structs import replace

from annotator.model.case import Case, Tag, with_tags
from annotator.model.edits import Edited, name_of
from annotator.model.interval import Interval
from annotator.model.timecode import clock


def settle(case: Case, facet: str, stretch: Interval, instead: Tag | None, new_id: Callable[[], str]) -> Edited:
    """Let a stretch hold what `instead` says, or nothing, in a facet that holds one tag at a time.

    Tags of the facet are cut at the edges of the stretch. A tag of the same concept that touches it is made longer;
    else `instead` is added with a new id and these times. Raises UnknownName for an unknown facet.
    """
    peers = [
        tag
        for tag in case.near(stretch.start, stretch.end, facet)
        if tag.start != tag.end and tag.start < stretch.end and case.range_of(tag).end > stretch.start
    ]
    kept = [part for tag in peers for part in _outside(case, tag, stretch, new_id)]
    gone = {tag.id for tag in peers} - {tag.id for tag in kept}
    when = f"{clock(stretch.start)} to {clock(stretch.end)}"
    if instead is None:
        return Edited(with_tags(case, kept, drop=gone), f"Nothing tagged from {when}")
    cut = with_tags(case, kept, drop=gone)
    says = f"{name_of(case, instead)} from {when}"
    return Edited(with_tags(cut, [_joined(cut, facet, stretch, instead, new_id)]), says)


def _outside(case: Case, tag: Tag, stretch: Interval, new_id: Callable[[], str]) -> list[Tag]:
    """What of a tag lies outside the stretch; the later of two parts gets an id of its own."""
    end = case.range_of(tag).end
    parts = [replace(tag, end=stretch.start)] if tag.start < stretch.start else []
    if end > stretch.end:
        later = replace(tag, start=stretch.end)
        parts.append(replace(later, id=new_id()) if parts else later)
    return parts


def _joined(case: Case, facet: str, stretch: Interval, instead: Tag, new_id: Callable[[], str]) -> Tag:
    """The tag that holds the stretch: one that touches it, made longer, or a new one."""
    for tag in case.near(stretch.start, stretch.end, facet):
        if tag.concept == instead.concept and tag.start != tag.end:
            if tag.end == stretch.start:
                return replace(tag, end=stretch.end)
            if tag.start == stretch.end:
                return replace(tag, start=stretch.start)
    return replace(instead, id=new_id(), start=stretch.start, end=stretch.end)
