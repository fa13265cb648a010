"""How much of their time two people's ranges of one name have in common."""

from collections.abc import Iterable

import msgspec

from annotator.measure.agreement.spans import Span, by_name
from annotator.measure.covered import shared_times
from annotator.measure.stays import Stay, length
from annotator.model.timecode import Ms


class Overlap(msgspec.Struct, frozen=True):
    """The time, in ms, that the one and the other give a name, and that both do."""

    one: Ms
    other: Ms
    both: Ms

    @property
    def either(self) -> Ms:
        return self.one + self.other - self.both

    @property
    def iou(self) -> float:
        """Intersection over union (Jaccard), from 0 to 1."""
        return self.both / self.either if self.either else 0.0

    @property
    def dice(self) -> float:
        """Twice the intersection over the sum of both, from 0 to 1."""
        return 2 * self.both / (self.one + self.other) if self.either else 0.0


def overlaps(one: Iterable[Span], other: Iterable[Span]) -> dict[str, Overlap]:
    """Of each name that either gives any time, by name."""
    these, those = _stays(one), _stays(other)
    both = shared_times(these, those)
    return {
        name: Overlap(length(these.get(name, [])), length(those.get(name, [])), both.get((name, name), 0))
        for name in sorted({*these, *those})
    }


def _stays(spans: Iterable[Span]) -> dict[str, list[Stay]]:
    return {name: [(span.start, span.end) for span in found] for name, found in by_name(spans).items()}
