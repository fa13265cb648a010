"""Where a trimmed copy of a recording begins, by something that is known of both along their time."""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from annotator.model.timecode import SECOND, Ms

_SLACK: Final[Ms] = SECOND
"""What is left out at both ends of the shorter one: a copy may reach a little beyond what it is of."""

_SHORTEST: Final[Ms] = 3 * SECOND
"""What has to be left, so that chance does not find a place."""

_ALIKE: Final = 0.8
"""Least correlation of the two; that of a copy coded anew is well above 0.9 (our own trials)."""

_Signal = NDArray[np.float64]


def trimmed_by(reference: NDArray[Any], other: NDArray[Any], every: Ms) -> Ms | None:
    """At how many ms of the reference the other begins, below 0 where the reference is the trimmed one.

    Both are values such as loudness, one for each `every` ms. The shorter one has to lie within the longer. None where
    there is no place at which they are alike.
    """
    if len(reference) < len(other):
        found = trimmed_by(other, reference, every)
        return None if found is None else -found
    slack = _SLACK // every
    long, short = reference.astype(np.float64), other[slack:-slack].astype(np.float64)
    if len(short) * every < _SHORTEST or not short.std():
        return None
    alike = _correlation(long, short)
    best = int(np.argmax(alike))
    return (best - slack) * every if alike[best] >= _ALIKE else None


def _correlation(long: _Signal, short: _Signal) -> _Signal:
    """Pearson's correlation of `short` with each stretch of `long` of its length."""
    from scipy.signal import correlate

    size = len(short)
    long, short = long - long.mean(), short - short.mean()
    common = correlate(long, short, mode="valid", method="fft")
    sums, squares = (np.cumsum(np.concatenate(([0.0], one))) for one in (long, long**2))
    means = (sums[size:] - sums[:-size]) / size
    spread = np.sqrt(np.maximum((squares[size:] - squares[:-size]) / size - means**2, 0))
    moves = spread > short.std() / 10  # in what hardly moves, rounding would be taken for likeness
    alike: _Signal = np.divide(common, spread * short.std() * size, out=np.zeros_like(common), where=moves)
    return alike
