"""What lay within each step: how much of its time was under each technique, instrument, material, event or performer.

Definitions: docs/measures.md.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import Final

import msgspec

from annotator.measure.counted import Named
from annotator.measure.covered import shared_times
from annotator.measure.stays import Stay, length, stays
from annotator.model.timecode import Ms

PERFORMER: Final = "performer"
"""What is asked for where a facet is, to have the time of each performer."""


NONE: Final = "None of them"
"""What the time of a step under none of the others is called."""


class Part(msgspec.Struct, frozen=True):
    """What was within a step: its time there, the share of the step's net time, from 0 to 1, and moments marked."""

    notation: str
    label: str
    total: Ms
    share: float
    marked: int = 0


class WithinRow(msgspec.Struct, frozen=True):
    """One step, its net time, what lay within it, and the time of it under none of that."""

    notation: str
    label: str
    total: Ms
    parts: tuple[Part, ...]
    rest: Ms

    @property
    def all_parts(self) -> tuple[Part, ...]:
        """The parts, and as the last the time under none of them; nothing where there are no parts."""
        if not self.parts or not self.rest:
            return self.parts
        return (*self.parts, Part("", NONE, self.rest, _share(self.rest, self.total)))


class Within(msgspec.Struct, frozen=True):
    """For each step what of another category lay within it; `facet` is that category, or `performer`."""

    facet: str
    rows: tuple[WithinRow, ...]


def within(facet: str, steps: Sequence[Named], others: Sequence[Named]) -> Within:
    """Rows for `steps`, in their order, with parts in the order of `others`."""
    ranges = {step.notation: step.visits for step in steps}
    shared = shared_times(ranges, {other.notation: other.visits for other in others})
    any_of_them = {"": stays(visit for other in others for visit in other.visits)}
    covered = shared_times(ranges, any_of_them)
    return Within(
        facet,
        tuple(
            _row(step, [_part(step, other, shared) for other in others], covered.get((step.notation, ""), 0))
            for step in steps
        ),
    )


def by_performer(steps: Sequence[Named], done_by: Mapping[str, Sequence[Named]]) -> Within:
    """Rows for `steps` with the time of each performer; `done_by` has, by step, the stays of each performer's tags."""
    rows = []
    for step in steps:
        net = length(step.visits)
        groups = done_by[step.notation]
        times = [(one, length(one.visits)) for one in groups]
        parts = [Part(one.notation, one.label, time, _share(time, net)) for one, time in times]
        rows.append(_row(step, parts, length(stays(visit for one in groups for visit in one.visits))))
    return Within("performer", tuple(rows))


def _row(step: Named, parts: Sequence[Part], covered: Ms) -> WithinRow:
    net = length(step.visits)
    kept = tuple(part for part in parts if part.total or part.marked)
    return WithinRow(step.notation, step.label, net, kept, net - covered)


def _part(step: Named, other: Named, shared: Mapping[tuple[str, str], Ms]) -> Part:
    time = shared.get((step.notation, other.notation), 0)
    marked = sum(_holds(step.visits, start) for start, end in other.visits if start == end)
    return Part(other.notation, other.label, time, _share(time, length(step.visits)), marked)


def _holds(ranges: Sequence[Stay], at: Ms) -> bool:
    """Whether a time lies within ranges that are in order; a range's end does not."""
    before = bisect_right(ranges, at, key=lambda stay: stay[0])
    return before > 0 and ranges[before - 1][1] > at


def _share(part: Ms, whole: Ms) -> float:
    return part / whole if whole else 0.0
