"""How far apart two people set the boundaries of what they tag.

Source: boundaries matched one to one within a window, and the median distance to the nearest one, are those of music
segmentation (Raffel and others, "mir_eval", ISMIR 2014).
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence

import msgspec

from annotator.measure.agreement.spans import Span
from annotator.measure.over_cases.spread import Spread, spread
from annotator.model.interval import Interval
from annotator.model.timecode import Ms


class Boundaries(msgspec.Struct, frozen=True):
    """Of the boundaries of two people, all as one list, how far each is from the nearest one of the other person.

    one, other   how many each has
    matched      pairs of them that lie within the tolerance, no boundary in two pairs
    differences  in ms; None where either has no boundaries
    """

    one: int
    other: int
    tolerance: Ms
    matched: int
    differences: Spread | None

    @property
    def within(self) -> float | None:
        """The share of all boundaries that have their counterpart within the tolerance, from 0 to 1."""
        return 2 * self.matched / (self.one + self.other) if self.one + self.other else None


def boundaries(one: Sequence[Span], other: Sequence[Span], tolerance: Ms, within: Interval) -> Boundaries:
    """Compare starts and ends; those on the edges of `within` are nobody's decision and are left out."""
    these, those = (edges(spans, within) for spans in (one, other))
    apart = [*distances(these, those), *distances(those, these)]
    matched = len(pairs(these, those, tolerance))
    return Boundaries(len(these), len(those), tolerance, matched, spread(apart) if these and those else None)


def edges(spans: Iterable[Span], within: Interval) -> list[Ms]:
    """Where anything starts or ends inside a range, each time once, in order."""
    return sorted({edge for span in spans for edge in span[:2] if within.start < edge < within.end})


def pairs(these: Sequence[Ms], those: Sequence[Ms], tolerance: Ms) -> list[tuple[Ms, Ms]]:
    """As many pairs as there can be of times that are at most so far apart, each time in one. Both are in order."""
    found: list[tuple[Ms, Ms]] = []
    first, second = 0, 0
    while first < len(these) and second < len(those):
        one, other = these[first], those[second]
        if abs(one - other) <= tolerance:
            found.append((one, other))
        first += one <= other + tolerance
        second += other <= one + tolerance
    return found


def distances(these: Sequence[Ms], those: Sequence[Ms]) -> list[Ms]:
    """How far each of these times is from the nearest of those, which are in order; none where there are none."""
    if not those:
        return []
    found: list[Ms] = []
    for at in these:
        after = bisect_left(those, at)
        found.append(min(abs(at - near) for near in those[max(after - 1, 0) : after + 1]))
    return found
