"""How often a thing is done over several cases, how long it takes, and when it ends. Definitions: docs/measures.md."""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from annotator.measure.over_cases.shares import Share, share_of
from annotator.measure.over_cases.times import Times, times_of
from annotator.measure.stays import Stay, length, median
from annotator.model.timecode import Ms


class Done(NamedTuple):
    """A case in which it was done: what the case is known by, and its occurrences, disjoint and in order."""

    case: str
    visits: Sequence[Stay]


class Moment(msgspec.Struct, frozen=True):
    """One occurrence, in ms on its case's clock."""

    case: str
    start: Ms
    end: Ms


class Answer(msgspec.Struct, frozen=True):
    """What is said of a thing over cases.

    share     in how many of how many cases
    times     the net time in each case in which it has a length, in the order of the cases
    moments   every occurrence, in the order of the cases and of time
    last      the last occurrence in the last of the cases; None where there is none
    last_end  the median over cases of when its last occurrence ends, in ms from the case's start; None likewise
    """

    share: Share
    times: Times
    moments: tuple[Moment, ...]
    last: Moment | None
    last_end: Ms | None


def answer(done: Sequence[Done], of: int) -> Answer:
    """The numbers of a thing that was done in these of `of` cases."""
    found = [one for one in done if one.visits]
    moments = tuple(Moment(one.case, start, end) for one in found for start, end in one.visits)
    return Answer(
        share=share_of(len(found), of),
        times=times_of([net for one in found if (net := length(one.visits))]),
        moments=moments,
        last=moments[-1] if moments else None,
        last_end=median([one.visits[-1][1] for one in found]) if found else None,
    )
