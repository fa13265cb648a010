"""Which moments of two people are the same one, and how far apart they marked it. Our definition."""

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from heapq import heapify, heappop, heappush
from typing import Literal, NamedTuple, TypeAlias

import msgspec

from annotator.measure.agreement.spans import Span, by_name
from annotator.measure.over_cases.spread import Spread, spread
from annotator.model.timecode import Ms

Side: TypeAlias = Literal["a", "b"]


class Moment(NamedTuple):
    """A time that is marked, with a concept's notation."""

    at: Ms
    name: str


class Alone(NamedTuple):
    """A moment that only one person has marked; `in_range` says that the other has tagged a range of it there."""

    at: Ms
    name: str
    side: Side
    in_range: bool


class Moments(msgspec.Struct, frozen=True):
    """Of the moments of two people, how many each has, and which are pairs within the tolerance.

    differences  how far apart the two of each pair are, in ms; None where there are no pairs
    alone        those without a partner, in order
    """

    one: int
    other: int
    tolerance: Ms
    matched: int
    differences: Spread | None
    alone: tuple[Alone, ...]


class Marked(NamedTuple):
    """What one person has marked, and the ranges that he has tagged."""

    moments: Sequence[Moment]
    spans: Sequence[Span]


def compare_moments(a: Marked, b: Marked, tolerance: Ms) -> Moments:
    """Moments of one name are pairs, the nearest first, as long as they are at most `tolerance` apart."""
    apart: list[Ms] = []
    alone: list[Alone] = []
    ranges_a, ranges_b = by_name(a.spans), by_name(b.spans)
    times_a, times_b = _times(a.moments), _times(b.moments)
    for name in sorted({*times_a, *times_b}):
        these, those = times_a.get(name, []), times_b.get(name, [])
        pairs = nearest_pairs(these, those, tolerance)
        apart += [abs(one - other) for one, other in pairs]
        alone += _alone(these, [one for one, _ in pairs], name, "a", ranges_b.get(name, []), tolerance)
        alone += _alone(those, [other for _, other in pairs], name, "b", ranges_a.get(name, []), tolerance)
    return Moments(len(a.moments), len(b.moments), tolerance, len(apart), spread(apart), tuple(sorted(alone)))


def nearest_pairs(these: Sequence[Ms], those: Sequence[Ms], tolerance: Ms) -> list[tuple[Ms, Ms]]:
    """Pairs of times that are at most so far apart, the nearest first, each time in one; both are in order.

    The two that are nearest are always neighbours in time, and so are those that are, once these are taken out.
    """
    line = sorted([*((at, 0) for at in these), *((at, 1) for at in those)])
    before, after = [at - 1 for at in range(len(line))], [at + 1 for at in range(len(line))]
    close = [
        (line[at + 1][0] - line[at][0], at, at + 1) for at in range(len(line) - 1) if line[at][1] != line[at + 1][1]
    ]
    heapify(close)
    taken: set[int] = set()
    found: list[tuple[Ms, Ms]] = []
    while close and close[0][0] <= tolerance:
        _, left, right = heappop(close)
        if left in taken or right in taken:
            continue
        taken |= {left, right}
        one, other = sorted((left, right), key=lambda at: line[at][1])
        found.append((line[one][0], line[other][0]))
        left, right = before[left], after[right]
        if left >= 0:
            after[left] = right
        if right < len(line):
            before[right] = left
        if left >= 0 and right < len(line) and line[left][1] != line[right][1]:
            heappush(close, (line[right][0] - line[left][0], left, right))
    return found


def _times(moments: Iterable[Moment]) -> dict[str, list[Ms]]:
    """In order, by name."""
    found: dict[str, list[Ms]] = {}
    for at, name in sorted(moments):
        found.setdefault(name, []).append(at)
    return found


def _alone(
    times: Sequence[Ms], paired: Sequence[Ms], name: str, side: Side, ranges: Sequence[Span], tolerance: Ms
) -> list[Alone]:
    left = sorted((Counter(times) - Counter(paired)).elements())
    return [Alone(at, name, side, _is_in_range(at, ranges, tolerance)) for at in left]


def _is_in_range(at: Ms, ranges: Sequence[Span], tolerance: Ms) -> bool:
    """Whether a time lies in one of disjoint ranges in order, or as near to one."""
    before = bisect_right(ranges, at + tolerance, key=lambda span: span.start)
    return before > 0 and ranges[before - 1].end + tolerance >= at
