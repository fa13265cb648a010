"""How long a thing took, over several cases. Definitions and sources: docs/measures.md."""

from collections.abc import Sequence
from typing import Final

import msgspec

from annotator.measure.over_cases.shares import CONFIDENCE
from annotator.measure.over_cases.spread import FEWEST, spread
from annotator.measure.stays import median
from annotator.model.timecode import Ms

SEED: Final = 20261128
"""Of the random numbers, so that the same cases give the same interval."""

RESAMPLES: Final = 9_999


class Times(msgspec.Struct, frozen=True):
    """Times in ms, in the order in which they were given.

    median           None of none
    quartiles        the lower and the upper one; None under five times
    median_interval  the 95 % interval of the median; None under five times
    """

    times: tuple[Ms, ...]
    median: Ms | None
    quartiles: tuple[Ms, Ms] | None
    median_interval: tuple[Ms, Ms] | None


def times_of(times: Sequence[Ms]) -> Times:
    """The middle of times, its spread, and how sure the middle is; everything to the nearest ms."""
    if len(times) < FEWEST:
        return Times(tuple(times), median(times) if times else None, None, None)
    return Times(tuple(times), median(times), _quartiles(times), _median_interval(times))


def _quartiles(times: Sequence[Ms]) -> tuple[Ms, Ms]:
    found = spread(times)
    if found is None:
        raise ValueError("no times have no quartiles")
    return _nearest(found.lower_quartile), _nearest(found.upper_quartile)


def _median_interval(times: Sequence[Ms]) -> tuple[Ms, Ms]:
    """By the bootstrap's percentiles (Efron and Tibshirani, An Introduction to the Bootstrap, 1993, chapter 13).

    The times are put in order first: which case comes first changes nothing.
    """
    import numpy as np
    from scipy import stats

    found = stats.bootstrap(
        (np.sort(times),),
        np.median,
        confidence_level=CONFIDENCE,
        n_resamples=RESAMPLES,
        method="percentile",
        vectorized=True,
        rng=np.random.default_rng(SEED),
    ).confidence_interval
    return _nearest(found.low), _nearest(found.high)


def _nearest(ms: float) -> Ms:
    """To the nearest ms, a half rounded up, as everywhere."""
    return int(ms + 0.5)
