"""What each person says is going on, as named ranges, and the time over which several of them are laid side by side."""

from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from itertools import pairwise
from typing import NamedTuple

from annotator.measure.stays import stays
from annotator.model.interval import Interval
from annotator.model.timecode import Ms


class Span(NamedTuple):
    """A named range [start, end) that has a length; the name is a concept's notation."""

    start: Ms
    end: Ms
    name: str


class Piece(NamedTuple):
    """Time over which nobody changes what they say: one name for each person, None where one has tagged nothing."""

    start: Ms
    end: Ms
    names: tuple[str | None, ...]

    @property
    def length(self) -> Ms:
        return self.end - self.start

    @property
    def is_agreed(self) -> bool:
        return len(set(self.names)) == 1

    @property
    def is_untagged(self) -> bool:
        """Whether nobody has tagged it."""
        return not any(self.names)


def one_at_a_time(spans: Iterable[Span]) -> list[Span]:
    """One name for each time, in order, neighbours of one name as one.

    Where several cover a time, the one that begins last counts, as in the window, where a step ends the one before it;
    of those that begin together the one that ends first.
    """
    coming = sorted((span for span in spans if span.end > span.start), reverse=True)
    edges = sorted({edge for span in coming for edge in span[:2]})
    found: list[Span] = []
    running: list[tuple[Ms, Ms, str]] = []
    for start, end in pairwise(edges):
        while coming and coming[-1].start == start:
            span = coming.pop()
            heappush(running, (-span.start, span.end, span.name))
        while running and running[0][1] <= start:
            heappop(running)
        if running:
            _append(found, Span(start, end, running[0][2]))
    return found


def by_name(spans: Iterable[Span]) -> dict[str, list[Span]]:
    """The fewest ranges of each name that cover the same time, in order."""
    ranges: dict[str, list[tuple[Ms, Ms]]] = {}
    for span in spans:
        if span.end > span.start:
            ranges.setdefault(span.name, []).append((span.start, span.end))
    return {name: [Span(start, end, name) for start, end in stays(found)] for name, found in ranges.items()}


def side_by_side(spans: Iterable[Span]) -> list[Span]:
    """The spans of names that may lie over each other: in order of start, those of one name that touch as one."""
    return sorted(span for ranges in by_name(spans).values() for span in ranges)


def cut(spans: Iterable[Span], within: Interval) -> list[Span]:
    """What of the spans lies within a range."""
    clipped = (Span(max(start, within.start), min(end, within.end), name) for start, end, name in spans)
    return [span for span in clipped if span.end > span.start]


def pieces(people: Sequence[Sequence[Span]], within: Interval) -> list[Piece]:
    """All of `within`, cut wherever anybody changes what they say. The spans lie in it, each person's disjoint and in
    order.
    """
    edges = sorted({*within, *(edge for spans in people for span in spans for edge in span[:2])})
    at = [0] * len(people)
    found: list[Piece] = []
    for start, end in pairwise(edges):
        names: list[str | None] = []
        for person, spans in enumerate(people):
            while at[person] < len(spans) and spans[at[person]].end <= start:
                at[person] += 1
            span = spans[at[person]] if at[person] < len(spans) else None
            names.append(span.name if span is not None and span.start <= start else None)
        found.append(Piece(start, end, tuple(names)))
    return found


def _append(found: list[Span], span: Span) -> None:
    last = found[-1] if found else None
    if last is not None and last.end == span.start and last.name == span.name:
        found[-1] = last._replace(end=span.end)
    else:
        found.append(span)
