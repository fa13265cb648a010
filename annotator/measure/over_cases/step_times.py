"""The times of each step of one case, and whose and under what they were, as they are laid beside other cases'."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from annotator.measure.durations import Summary, summarise
from annotator.measure.within import PERFORMER
from annotator.model.case import Case
from annotator.model.reference import OPERATION, Measured
from annotator.model.timecode import Ms

STEP = "step"
"""The category whose times are laid beside each other."""


class StepTimes(NamedTuple):
    """Net and elapsed time of a step in one case, in ms, and the shares of its net time.

    shares  by (category, notation), or (performer, code of a role), from 0 to 1
    """

    net: Ms
    elapsed: Ms
    shares: Mapping[tuple[str, str], float]

    def time(self, measured: Measured) -> Ms:
        return self.net if measured is Measured.NET else self.elapsed

    def share(self, facet: str, notation: str) -> float:
        """0 where there is nothing of it within the step."""
        return self.shares.get((facet, notation), 0.0)


def step_times(case: Case, language: str, within: Sequence[str] = ()) -> dict[str, StepTimes]:
    """By notation the steps that have any length, in the order of the vocabulary, and the operating time last.

    The shares are those of the performers, and of what the categories in `within` have. Raises UnknownName for a
    category that the vocabulary lacks.
    """
    found = summarise(case, STEP, language=language, within=PERFORMER)
    shares = _shares([found, *(summarise(case, STEP, language=language, within=one) for one in within)])
    times = {
        row.notation: StepTimes(row.total, row.elapsed or row.total, shares.get(row.notation, {}))
        for row in found.rows
        if row.timed
    }
    if found.operation is not None:
        whole = found.operation.length
        times[OPERATION] = StepTimes(whole, whole, {})
    return times


def _shares(summaries: Sequence[Summary]) -> dict[str, dict[tuple[str, str], float]]:
    """By step what lay within it, of each summary that was asked for it."""
    shares: dict[str, dict[tuple[str, str], float]] = {}
    for found in filter(None, (summary.within for summary in summaries)):
        for row in found.rows:
            shares.setdefault(row.notation, {}).update({(found.facet, one.notation): one.share for one in row.parts})
    return shares
