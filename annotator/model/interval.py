"""Half-open ranges of time [start, end): said here once, true everywhere.

A moment is a range whose end equals its start: it holds nothing and overlaps nothing.
The names of relations follow Allen, "Maintaining knowledge about temporal intervals",
Communications of the ACM 26 (1983).
"""

from collections.abc import Iterable
from typing import NamedTuple

from annotator.model.timecode import Ms


class Interval(NamedTuple):
    """From `start` up to, not including, `end`; both in ms, `start <= end`."""

    start: Ms
    end: Ms

    @property
    def length(self) -> Ms:
        return self.end - self.start

    @property
    def is_moment(self) -> bool:
        return self.start == self.end

    def before(self, other: "Interval") -> bool:
        """Ends earlier than the other starts, with time between."""
        return self.end < other.start

    def meets(self, other: "Interval") -> bool:
        """Ends where the other starts."""
        return self.end == other.start

    def overlaps(self, other: "Interval") -> bool:
        """Shares time with the other, in whatever way."""
        return max(self.start, other.start) < min(self.end, other.end)

    def contains(self, other: "Interval") -> bool:
        """Holds all of the other; an equal range is contained."""
        return self.start <= other.start and other.end <= self.end

    def crosses(self, other: "Interval") -> bool:
        """Shares time with the other while neither contains the other."""
        return self.overlaps(other) and not self.contains(other) and not other.contains(self)

    def common(self, other: "Interval") -> "Interval | None":
        """The shared range, or None where nothing is shared."""
        return Interval(max(self.start, other.start), min(self.end, other.end)) if self.overlaps(other) else None


def union(intervals: Iterable[Interval]) -> list[Interval]:
    """The fewest disjoint ranges that cover the same time, in order; ranges that touch become one."""
    merged: list[Interval] = []
    for interval in sorted(interval for interval in intervals if not interval.is_moment):
        if merged and interval.start <= merged[-1].end:
            merged[-1] = Interval(merged[-1].start, max(merged[-1].end, interval.end))
        else:
            merged.append(interval)
    return merged


def total(intervals: Iterable[Interval]) -> Ms:
    """Time covered, no millisecond counted twice."""
    return sum(interval.length for interval in union(intervals))


def gaps(intervals: Iterable[Interval], within: Interval) -> list[Interval]:
    """The parts of `within` that no range covers, in order."""
    found: list[Interval] = []
    reached = within.start
    for interval in union(intervals):
        if interval.start >= within.end:
            break
        if interval.start > reached:
            found.append(Interval(reached, interval.start))
        reached = max(reached, interval.end)
    if reached < within.end:
        found.append(Interval(reached, within.end))
    return found


def shared(intervals: Iterable[Interval], depth: int = 2) -> list[Interval]:
    """The time covered by at least `depth` of the ranges at once, as disjoint ranges in order."""
    steps = sorted(
        step for interval in intervals if not interval.is_moment for step in ((interval.start, 1), (interval.end, -1))
    )
    found: list[Interval] = []
    covering, since = 0, 0
    for at, change in steps:
        if covering < depth <= covering + change:
            since = at
        elif covering + change < depth <= covering:
            found.append(Interval(since, at))
        covering += change
    return union(found)
