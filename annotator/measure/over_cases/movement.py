"""How a share of a step's time, such as the trainee's, or a mean score moves with the case number.

Definitions: docs/measures.md.

The slope is that of least squares, with an interval that does not take all cases to scatter alike (HC3: MacKinnon and
White, Some heteroskedasticity-consistent covariance matrix estimators with improved finite sample properties, Journal
of Econometrics 29 (1985) 305-325): shares are often 0 or 1, and scatter least there.
"""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from annotator.measure.over_cases.trend import FEWEST, FEWEST_NUMBERS, Estimate

PER = 10
"""Cases over which the change of a share is told."""


class SharePoint(NamedTuple):
    """A case with its number and a share in it, from 0 to 1, or a mean score."""

    number: int
    share: float


class Movement(msgspec.Struct, frozen=True):
    """The shares in order of the case numbers; `per_ten` is how one changes over ten cases, or None for a reason."""

    points: tuple[SharePoint, ...]
    per_ten: Estimate | None
    reason: str = ""


def movement(points: Sequence[SharePoint], of: str = "shares") -> Movement:
    """How a share moves, from eight cases on; `of` is what they are called where a reason is said."""
    ordered = tuple(sorted(points))
    if len(ordered) < FEWEST or len({one.number for one in ordered}) < FEWEST_NUMBERS:
        return Movement(ordered, None, f"no trend under {FEWEST} numbered cases; there are {len(ordered)}")
    if len({one.share for one in ordered}) == 1:
        return Movement(ordered, None, f"the {of} are all the same")
    return Movement(ordered, _slope(ordered))


def _slope(points: Sequence[SharePoint]) -> Estimate:
    """Over ten cases."""
    import numpy as np
    from statsmodels.regression.linear_model import OLS

    numbers = np.array([(1.0, one.number / PER) for one in points])
    fitted = OLS(np.array([one.share for one in points]), numbers).fit(cov_type="HC3", use_t=True)
    low, high = fitted.conf_int()[1]
    return Estimate(float(fitted.params[1]), float(low), float(high))
