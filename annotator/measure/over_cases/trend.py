"""How a time moves with the case number: a power law and a smoothed line, both with 95 % intervals, none under eight
cases. Definitions: docs/measures.md.

The power law T(n) = T(1) n^b is that of practice (Newell and Rosenbloom, Mechanisms of skill acquisition and the law of
practice, 1981), fitted to the logarithms by least squares; 2^b is the learning rate, by which time is multiplied when
the number of cases doubles (Wright, Factors affecting the cost of airplanes, 1936). The smoothed line is lowess
(Cleveland, Robust locally weighted regression and smoothing scatterplots, 1979) of the logarithm of time over that of
the number: times scatter by a factor and not by a number of seconds, and the first cases change more than the last. Its
band is a bootstrap's, widened for few cases as Hesterberg says (What teachers should know about the bootstrap, The
American Statistician 69 (2015) 371-386).
"""

from collections.abc import Sequence
from math import exp, log
from typing import TYPE_CHECKING, Any, NamedTuple

import msgspec

from annotator.model.timecode import Ms

if TYPE_CHECKING:
    import numpy as np

FEWEST = 8
"""Cases from which on there is a trend."""

FEWEST_NUMBERS = 3
"""Different case numbers without which a line has nothing to bend at."""

SEED = 20260101
"""Of the random draws, so that the same cases give the same band."""

DRAWS = 999
"""Bootstrap draws; the percentiles of 999 need no interpolation."""

PLACES = 40
"""Case numbers at which lines are worked out."""

NEAR = 2 / 3
"""The part of the cases that each place of the smoothed line looks at, the usual one of lowess."""

FOLLOWED = 4.0
"""How many parameters a smoothed line with that part is worth: the trace of its matrix is 3.4 to 4."""

_LEVEL = 0.95


class Point(NamedTuple):
    """A case with its number, from 1, and the time in it, in ms."""

    number: int
    time: Ms


class Estimate(NamedTuple):
    """A figure with its 95 % interval."""

    value: float
    low: float
    high: float


class Along(NamedTuple):
    """A line at a case number, in ms, with its 95 % interval there."""

    number: float
    time: float
    low: float
    high: float


class PowerLaw(msgspec.Struct, frozen=True):
    """The fit of T(n) = T(1) n^b.

    first     T(1), in ms
    exponent  b; below 0, times get shorter
    rate      2^b: by what a time is multiplied when the case number doubles
    fit       R² of the logarithms; None where all times are the same
    line      the median time to be expected at case numbers, and how sure that is
    """

    n: int
    first: Estimate
    exponent: Estimate
    rate: Estimate
    fit: float | None
    line: tuple[Along, ...]


class Trend(msgspec.Struct, frozen=True):
    """Cases in order of their numbers, and the lines through them."""

    points: tuple[Point, ...]
    power: PowerLaw
    smooth: tuple[Along, ...]


class NoTrend(msgspec.Struct, frozen=True):
    """Why there is none."""

    points: tuple[Point, ...]
    reason: str


def trend(points: Sequence[Point]) -> Trend | NoTrend:
    """The trend of times over case numbers, from eight cases on. Cases without time take no part."""
    timed = tuple(sorted(one for one in points if one.time > 0 and one.number > 0))
    if len(timed) < FEWEST:
        return NoTrend(timed, f"no trend under {FEWEST} cases; there {'is' if len(timed) == 1 else 'are'} {len(timed)}")
    if len({one.number for one in timed}) < FEWEST_NUMBERS:
        return NoTrend(timed, f"no trend with fewer than {FEWEST_NUMBERS} different case numbers")
    return Trend(timed, power_law(timed), smoothed(timed))


def power_law(points: Sequence[Point]) -> PowerLaw:
    """The least-squares line through ln time over ln number; points have a time and two different numbers at least."""
    import numpy as np
    from statsmodels.regression.linear_model import OLS

    numbers, times = _logarithms(points)
    fitted = OLS(times, _with_constant(numbers)).fit()
    (a, b), ((a_low, a_high), (b_low, b_high)) = fitted.params, fitted.conf_int(1 - _LEVEL)
    at = np.linspace(numbers.min(), numbers.max(), PLACES)
    found = fitted.get_prediction(_with_constant(at))
    lows, highs = found.conf_int(alpha=1 - _LEVEL).T
    scatter = float(((times - times.mean()) ** 2).sum())
    return PowerLaw(
        n=len(points),
        first=Estimate(exp(a), exp(a_low), exp(a_high)),
        exponent=Estimate(float(b), float(b_low), float(b_high)),
        rate=Estimate(*(float(2**one) for one in (b, b_low, b_high))),
        fit=1 - float((fitted.resid**2).sum()) / scatter if scatter else None,
        line=_line(at, found.predicted_mean, lows, highs),
    )


def smoothed(points: Sequence[Point]) -> tuple[Along, ...]:
    """Lowess with a pointwise band, from a bootstrap of the residuals: the case numbers are what they are.

    Without its robust iterations lowess is linear in the times, so that what it makes of each draw is a product.
    """
    import numpy as np
    from scipy.stats import norm, t

    numbers, times = _logarithms(points)
    n = len(points)
    at = np.linspace(numbers.min(), numbers.max(), PLACES)
    residuals = times - _lowess(times, numbers, numbers)
    # The line follows each point a little, so its residuals are smaller than the scatter about the true one; and few
    # of them tell the scatter badly.
    freedom = n - FOLLOWED
    widened = np.sqrt(n / freedom) * t.ppf((1 + _LEVEL) / 2, freedom) / norm.ppf((1 + _LEVEL) / 2)
    random = np.random.default_rng(SEED)
    drawn = random.choice(widened * (residuals - residuals.mean()), size=(DRAWS, n))
    by_point = np.column_stack([_lowess(one, numbers, at) for one in np.eye(n)])
    lows, highs = np.quantile(drawn @ by_point.T, [(1 - _LEVEL) / 2, (1 + _LEVEL) / 2], axis=0)
    middle = by_point @ times
    return _line(at, middle, middle - highs, middle - lows)


def _logarithms(points: Sequence[Point]) -> "tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]":
    import numpy as np

    return np.array([log(one.number) for one in points]), np.array([log(one.time) for one in points])


def _with_constant(numbers: "np.ndarray[Any, Any]") -> "np.ndarray[Any, Any]":
    import numpy as np

    return np.column_stack([np.ones(len(numbers)), numbers])


def _lowess(
    times: "np.ndarray[Any, Any]", numbers: "np.ndarray[Any, Any]", at: "np.ndarray[Any, Any]"
) -> "np.ndarray[Any, Any]":
    from statsmodels.nonparametric.smoothers_lowess import lowess

    found: np.ndarray[Any, Any] = lowess(times, numbers, frac=NEAR, it=0, xvals=at)
    return found


def _line(at: Any, times: Any, lows: Any, highs: Any) -> tuple[Along, ...]:
    """From logarithms to numbers and ms."""
    return tuple(Along(*map(exp, one)) for one in zip(at, times, lows, highs, strict=True))
