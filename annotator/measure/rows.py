"""The figures of one concept. Definitions: docs/measures.md."""

from collections.abc import Iterable

import msgspec

from annotator.measure.counted import Named
from annotator.measure.interruptions import Interruption
from annotator.measure.stays import length, mean, median
from annotator.model.interval import Interval
from annotator.model.timecode import Ms


class Row(msgspec.Struct, frozen=True):
    """The time of one concept.

    visits           how many; `timed` of them have a length, the others are moments
    total            net: the union of its ranges
    elapsed          from the start of the first visit to the end of the last; None where the facet may overlap freely
    longest, mean, median  of the visits that have a length; None where there are not at least two of them
    share            of the whole case, from 0 to 1
    operating_share  of its time within the operating time, from 0 to 1; None where that is not known
    interruptions    what took time between its visits, longest first
    begins_when, ends_when  what is seen when a visit begins and ends; empty where the vocabulary does not say it
    """

    notation: str
    label: str
    visits: int
    timed: int
    total: Ms
    elapsed: Ms | None
    longest: Ms | None
    mean: Ms | None
    median: Ms | None
    share: float
    operating_share: float | None
    first_start: Ms
    interruptions: tuple[Interruption, ...] = ()
    begins_when: str = ""
    ends_when: str = ""


def row(
    named: Named,
    whole: Ms,
    operation: Interval | None,
    is_step: bool,
    interrupted_by: Iterable[Interruption] = (),
) -> Row:
    """The figures of a concept with at least one visit, in a case of `whole` ms.

    `is_step` says that the facet holds one tag at a time, so that the time between visits means something.
    """
    visits = named.visits
    lengths = [end - start for start, end in visits if end > start]
    are_several = len(lengths) > 1
    covered = sum(lengths)
    return Row(
        notation=named.notation,
        label=named.label,
        visits=len(visits),
        timed=len(lengths),
        total=covered,
        elapsed=visits[-1][1] - visits[0][0] if is_step else None,
        longest=max(lengths) if are_several else None,
        mean=mean(lengths) if are_several else None,
        median=median(lengths) if are_several else None,
        share=covered / whole if whole else 0.0,
        operating_share=None if operation is None else length(visits, operation) / operation.length,
        first_start=visits[0][0],
        interruptions=tuple(interrupted_by),
        begins_when=named.begins_when,
        ends_when=named.ends_when,
    )
