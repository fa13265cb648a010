"""Whether pictures come at one constant rate, and exactly which.

Containers round stamps to their own unit: at 59.94 a second Matroska's milliseconds alternate between
16 and 17, and keep doing so when copied into an MP4 that counts finer. Such a stream is constant all the
same. A rate fits when an even grid of it passes through every stamp with no more error than one rounding,
all along the recording, so that a drift shows too.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

import numpy as np
from numpy.typing import NDArray

_STANDARD: Final = tuple(
    Fraction(*rate)
    for rate in (
        (24_000, 1_001), (24, 1), (25, 1), (30_000, 1_001), (30, 1), (48_000, 1_001), (48, 1), (50, 1),
        (60_000, 1_001), (60, 1), (100, 1), (120_000, 1_001), (120, 1), (15, 1), (25, 2),
    )
)  # fmt: skip
"""SMPTE ST 2036-1 and ITU-R BT.1120 name the frame rates of television; the rest is common practice, no source."""

_SLACK: Final = Fraction(9, 8)
"""Units of error allowed: one for rounding, and an eighth for stamps that were rounded before, to a finer unit."""

_SMALL_PART: Final = Fraction(1, 4)
_APART: Final = Fraction(3, 2)
_NANOSECOND: Final = Fraction(1, 10**9)
_NEAR: Final = Fraction(1, 100)
_SAFE: Final = 2**62


def constant_rate(stamps: NDArray[np.int64], tick: Fraction, declared: Sequence[Fraction | None]) -> Fraction | None:
    """Frames a second, or None where the distance varies.

    `stamps` increase, in units of `tick` seconds. A rate that the container declares is believed where it
    fits, then a distance that is the very same everywhere, then a rate of television, then the mean.
    """
    if len(stamps) < 2:
        return next((_unrounded(rate) for rate in declared if rate), None)
    unit = _rounded_to(stamps, tick)
    candidates = _candidates(stamps, tick, declared)
    return next((rate for rate in candidates if _fits(stamps, 1 / (rate * tick), unit)), None)


def _rounded_to(stamps: NDArray[np.int64], tick: Fraction) -> int:
    """The unit, in ticks, that stamps were rounded to: a millisecond where all lie on that grid, else one tick."""
    unit = Fraction(1, 1_000) / tick
    on_grid = unit.denominator == 1 and not ((stamps - stamps[0]) % unit.numerator).any()
    return unit.numerator if on_grid else 1


def _candidates(stamps: NDArray[np.int64], tick: Fraction, declared: Sequence[Fraction | None]) -> Iterator[Fraction]:
    mean = (len(stamps) - 1) / (int(stamps[-1] - stamps[0]) * tick)
    yield from (_unrounded(rate) for rate in declared if rate)
    if int(stamps[1] - stamps[0]) * (len(stamps) - 1) == int(stamps[-1] - stamps[0]):
        yield mean
    near = (rate for rate in _STANDARD if abs(rate - mean) < _NEAR * mean)
    yield from sorted(near, key=lambda rate: abs(rate - mean))
    yield mean.limit_denominator(1_001)


def _unrounded(rate: Fraction) -> Fraction:
    """The rate of television that a declared one stands for: Matroska keeps the distance in whole nanoseconds."""
    return next((standard for standard in _STANDARD if abs(standard - rate) < _NANOSECOND * rate * rate), rate)


def _fits(stamps: NDArray[np.int64], distance: Fraction, unit: int) -> bool:
    """Whether stamps that were rounded to `unit` ticks lie on a grid of `distance` ticks."""
    count = len(stamps)
    if (int(stamps[-1] - stamps[0]) + count) * distance.denominator + count * distance.numerator >= _SAFE:
        return False
    grid = np.arange(count, dtype=np.int64) * distance.numerator
    error = (stamps - stamps[0]) * distance.denominator - grid
    return int(error.max() - error.min()) <= _allowed(distance, unit) * distance.denominator


def _allowed(distance: Fraction, unit: int) -> Fraction:
    """How far, in ticks, stamps may be off the grid. Of pictures hardly a unit apart, a missing one must still show."""
    if (distance / unit).denominator == 1:
        return min(_SLACK * unit, distance * _SMALL_PART)
    return _SLACK * unit if distance >= _APART * unit else Fraction(0)
