"""What interrupted a step between its first start and its last end. Definitions: docs/measures.md."""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

import msgspec

from annotator.measure.covered import shared_times
from annotator.measure.stays import Stay
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary


class Interruption(msgspec.Struct, frozen=True):
    """What took time between two occurrences of a step, and how much of it."""

    notation: str
    label: str
    total: Ms


class _Reached(NamedTuple):
    """Stays in order, and the time that they have covered up to the start of each, and in all."""

    stays: Sequence[Stay]
    before: Sequence[Ms]

    def by(self, at: Ms) -> Ms:
        """The time covered up to `at`."""
        count = bisect_right(self.stays, at, key=lambda stay: stay[0])
        if not count:
            return 0
        start, end = self.stays[count - 1]
        return self.before[count - 1] + min(at, end) - start


def interruptions(
    vocabulary: Vocabulary, steps: Mapping[str, Sequence[Stay]], others: Mapping[str, Sequence[Stay]], language: str
) -> dict[str, tuple[Interruption, ...]]:
    """For each of `steps`, by notation, what of `others` lay between its occurrences, longest first.

    A narrower or a broader concept is no interruption. All stays are disjoint and in order.
    """
    broken = {notation: ranges for notation, ranges in steps.items() if len(ranges) > 1}
    shared = shared_times(broken, others)
    reached = {notation: _reached(ranges) for notation, ranges in others.items()}
    found: dict[str, tuple[Interruption, ...]] = {}
    for notation, ranges in broken.items():
        kin = _kin(vocabulary, vocabulary.by_notation[notation])
        first, last = ranges[0][0], ranges[-1][1]
        between = (
            Interruption(
                other,
                vocabulary.by_notation[other].label(language),
                covered.by(last) - covered.by(first) - shared.get((notation, other), 0),
            )
            for other, covered in reached.items()
            if other not in kin
        )
        lasting = [one for one in between if one.total]
        found[notation] = tuple(sorted(lasting, key=lambda one: -one.total))
    return found


def _reached(ranges: Sequence[Stay]) -> _Reached:
    return _Reached(ranges, list(accumulate((end - start for start, end in ranges), initial=0)))


def _kin(vocabulary: Vocabulary, concept: Concept) -> frozenset[str]:
    """The concept, what is broader and what is narrower, by notation."""
    above = [one.notation for one in vocabulary.ancestors(concept)]
    below = [one.notation for one in vocabulary.concepts if concept in vocabulary.ancestors(one)]
    return frozenset([concept.notation, *above, *below])
