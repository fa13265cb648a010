"""How far several raters give the same scores: the intraclass correlation in its six forms.

Definitions: Shrout and Fleiss, Intraclass correlations: uses in assessing rater reliability, Psychological Bulletin 86
(1979) 420-428. Intervals: the same, and McGraw and Wong, Forming inferences about some intraclass correlation
coefficients, Psychological Methods 1 (1996) 30-46.
"""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from annotator.errors import InvalidEdit
from annotator.measure.over_cases.spread import FEWEST

_TAIL = 0.975
"""What is below the upper end of a 95 % interval."""

_NOTHING = 1e-12
"""Of all scatter; less is what rounding leaves."""


Interval = tuple[float, float]


class Coefficient(NamedTuple):
    """One form: 1 where raters agree wholly, 0 or below where they tell cases apart no better than chance.

    value     None where the cases differ too little for this form to be worked out
    interval  its 95 % interval; None under five cases, and where nothing but the cases differs
    """

    value: float | None
    interval: Interval | None


class Agreement(msgspec.Struct, frozen=True):
    """The six forms over `cases` that each of `raters` scored; the first number names the model.

    one_way   (1,1): raters of each case drawn anew
    random    (2,1): the same raters for all cases, drawn from many; a rater who is always stricter counts as different
    fixed     (3,1): just these raters; a rater who is always stricter does not matter
    *_mean    (1,k), (2,k), (3,k): the same, of the mean of all raters
    """

    cases: int
    raters: int
    one_way: Coefficient
    random: Coefficient
    fixed: Coefficient
    one_way_mean: Coefficient
    random_mean: Coefficient
    fixed_mean: Coefficient


class NoAgreement(msgspec.Struct, frozen=True):
    """Why there is none."""

    cases: int
    reason: str


class _Squares(NamedTuple):
    """Mean squares: between cases, within cases, between raters, and what is left of it all."""

    between: float
    within: float
    raters: float
    rest: float
    cases: int
    k: int


def agreement(scores: Sequence[Sequence[float]]) -> Agreement | NoAgreement:
    """The six forms; one row for each case, in it the score of each rater, in the same order.

    Raises InvalidEdit where a row lacks a rater's score or has more than the others.
    """
    raters = len(scores[0]) if scores else 0
    if any(len(row) != raters for row in scores):
        raise InvalidEdit("each case needs the scores of the same raters; leave out those that one did not score")
    if len(scores) < 2 or raters < 2:
        return NoAgreement(len(scores), "agreement needs two cases at least that two raters scored")
    if all(len(set(row)) == 1 for row in zip(*scores, strict=True)):
        return NoAgreement(len(scores), "each rater gave all cases the same score, so there is nothing to tell apart")
    return _forms(_mean_squares(scores))


def _mean_squares(scores: Sequence[Sequence[float]]) -> _Squares:
    import numpy as np

    table = np.array(scores, dtype=float)
    n, k = table.shape
    table -= table.mean()
    of_cases, of_raters = table.mean(axis=1, keepdims=True), table.mean(axis=0, keepdims=True)
    squares = (
        k * (of_cases**2).sum() / (n - 1),
        ((table - of_cases) ** 2).sum() / (n * (k - 1)),
        n * (of_raters**2).sum() / (k - 1),
        ((table - of_cases - of_raters) ** 2).sum() / ((n - 1) * (k - 1)),
    )
    least = _NOTHING * (table**2).sum()
    between, within, raters, rest = (float(one) if one > least else 0.0 for one in squares)
    return _Squares(between, within, raters, rest, n, k)


def _forms(found: _Squares) -> Agreement:
    between, within, rest, k = found.between, found.within, found.rest, found.k
    bias = k * (found.raters - rest) / found.cases
    random = _ratio(between - rest, between + (k - 1) * rest + bias)
    of_one_way = _of_ratio(found, within, found.cases * (k - 1))
    of_random = None if random is None else _of_random(found, random)
    of_fixed = _of_ratio(found, rest, (found.cases - 1) * (k - 1))
    return Agreement(
        found.cases,
        k,
        Coefficient(_ratio(between - within, between + (k - 1) * within), of_one_way),
        Coefficient(random, of_random),
        Coefficient(_ratio(between - rest, between + (k - 1) * rest), of_fixed),
        _of_mean(_ratio(between - within, between), of_one_way, k),
        _of_mean(_ratio(between - rest, between + bias / k), of_random, k),
        _of_mean(_ratio(between - rest, between), of_fixed, k),
    )


def _ratio(over: float, under: float) -> float | None:
    return over / under if under > _NOTHING * abs(over) else None


def _of_ratio(found: _Squares, noise: float, freedom: int) -> Interval | None:
    """Of the forms that rest on one ratio of mean squares, whose noise has these degrees of freedom."""
    from scipy.stats import f  # it takes a second to load

    if found.cases < FEWEST or not noise:
        return None
    ratio = found.between / noise
    low = ratio / float(f.ppf(_TAIL, found.cases - 1, freedom))
    high = ratio * float(f.ppf(_TAIL, freedom, found.cases - 1))
    return (low - 1) / (low + found.k - 1), (high - 1) / (high + found.k - 1)


def _of_random(found: _Squares, random: float) -> Interval | None:
    """Of the form that takes the raters as drawn, with the degrees of freedom of Satterthwaite's approximation."""
    from scipy.stats import f

    n, k = found.cases, found.k
    if n < FEWEST or not found.rest or not found.between:
        return None
    a = k * random / (n * (1 - random)) * found.raters
    b = (1 + k * random * (n - 1) / (n * (1 - random))) * found.rest
    freedom = (a + b) ** 2 / (a**2 / (k - 1) + b**2 / ((n - 1) * (k - 1)))
    down, up = float(f.ppf(_TAIL, n - 1, freedom)), float(f.ppf(_TAIL, freedom, n - 1))
    noise = k * found.raters + (k * n - k - n) * found.rest
    low = n * (found.between - down * found.rest) / (down * noise + n * found.between)
    high = n * (up * found.between - found.rest) / (noise + n * up * found.between)
    return low, high


def _of_mean(value: float | None, ends: Interval | None, k: int) -> Coefficient:
    """Of the mean of all raters; its interval is that of one rater, taken up as Spearman and Brown do."""
    least = -1 / (k - 1)  # where the mean of the raters would be without end
    if value is None or ends is None or ends[0] <= least:
        return Coefficient(value, None)
    low, high = (k * end / (1 + (k - 1) * end) for end in ends)
    return Coefficient(value, (low, high))
