"""How a share of a step's time, such as the trainee's, moves with the case number. Definitions: docs/measures.md.

The slope is that of Theil and Sen, the median of the slopes between all pairs of cases, with Sen's interval (Sen,
Estimates of the regression coefficient based on Kendall's tau, Journal of the American Statistical Association 63
(1968) 1379-1389): shares lie between 0 and 1 and often at either end, where least squares means little.
"""

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

import msgspec

from annotator.measure.over_cases.trend import FEWEST, FEWEST_NUMBERS, Estimate

PER = 10
"""Cases over which the change of a share is told."""


class SharePoint(NamedTuple):
    """A case with its number and a share in it, from 0 to 1."""

    number: int
    share: float


class Movement(msgspec.Struct, frozen=True):
    """The shares in order of the case numbers; `per_ten` is how one changes over ten cases, or None for a reason."""

    points: tuple[SharePoint, ...]
    per_ten: Estimate | None
    reason: str = ""


def movement(points: Sequence[SharePoint]) -> Movement:
    """How a share moves, from eight cases on."""
    ordered = tuple(sorted(points))
    if len(ordered) < FEWEST or len({one.number for one in ordered}) < FEWEST_NUMBERS:
        return Movement(ordered, None, f"no trend under {FEWEST} numbered cases; there are {len(ordered)}")
    from scipy.stats import theilslopes

    found = theilslopes([one.share for one in ordered], [one.number for one in ordered], 0.95)
    per_ten = Estimate(*(PER * float(one) for one in (found.slope, found.low_slope, found.high_slope)))
    if not all(map(isfinite, per_ten)):
        return Movement(ordered, None, "the shares are too much alike for an interval")
    return Movement(ordered, per_ten)
