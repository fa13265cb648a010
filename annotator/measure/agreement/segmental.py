"""Agreement by whole occurrences: segmental F1, and the edit score of their order.

Sources: C. Lea and others, "Temporal convolutional networks for action segmentation and detection", CVPR 2017; V. I.
Levenshtein's distance over the longer of the two lists of names.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from annotator.measure.agreement.spans import Span, by_name
from annotator.model.timecode import Ms

LEVELS: Final = (10, 25, 50)
"""Percent of intersection over union from which on two occurrences are taken for the same one."""


class Hits(NamedTuple):
    """How many occurrences of the other person are found in the reference, are not, and how many there are missed."""

    true_positives: int
    false_positives: int
    false_negatives: int

    @property
    def f1(self) -> float | None:
        """2 TP / (2 TP + FP + FN), from 0 to 1; None where neither has any."""
        of = 2 * self.true_positives + self.false_positives + self.false_negatives
        return 2 * self.true_positives / of if of else None


def hits(reference: Sequence[Span], other: Sequence[Span], levels: Iterable[int] = LEVELS) -> dict[int, Hits]:
    """Go through the other's spans in order: each takes the one of the reference with its name that it shares most
    with, if that is not taken yet and intersection over union is so many percent or more; by that level.

    The spans of one name are disjoint and in order, on both sides.
    """
    found = _matches(reference, other)
    taken = ((level, {one.span for one in found if 100 * one.common >= level * one.whole}) for level in levels)
    return {level: Hits(len(spans), len(other) - len(spans), len(reference) - len(spans)) for level, spans in taken}


def edit(one: Sequence[Span], other: Sequence[Span]) -> float | None:
    """1 - distance / longer list, from 0 to 1, of the names in order; None where neither has any."""
    if not one and not other:
        return None
    from rapidfuzz.distance import Levenshtein

    first, second = ([span.name for span in spans] for spans in (one, other))
    return float(Levenshtein.normalized_similarity(first, second))


class _Match(NamedTuple):
    """A span of the other person with that of the reference that it shares most with; `common` and `whole` in ms."""

    span: Span
    common: Ms
    whole: Ms


def _matches(reference: Iterable[Span], other: Iterable[Span]) -> list[_Match]:
    """For each of the other's spans, in order, the one of the reference with its name and the largest intersection
    over union, of several the first; those that share no time with any are left out.
    """
    by = by_name(reference)
    ends = {name: [span.end for span in spans] for name, spans in by.items()}
    found = []
    for span in other:
        near = by.get(span.name, [])
        best: _Match | None = None
        for at in range(bisect_right(ends.get(span.name, []), span.start), len(near)):
            one = near[at]
            if one.start >= span.end:
                break
            common = min(one.end, span.end) - max(one.start, span.start)
            whole = max(one.end, span.end) - min(one.start, span.start)
            if best is None or common * best.whole > best.common * whole:
                best = _Match(one, common, whole)
        if best is not None:
            found.append(best)
    return found
