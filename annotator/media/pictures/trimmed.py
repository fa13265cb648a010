"""Where a trimmed copy of a recording begins, by the sound of both."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from annotator.media.pictures.sound import EVERY, Peaks
from annotator.model.timecode import SECOND, Ms

_SLACK: Final = SECOND // EVERY
"""Peaks of the shorter sound that are left out at both of its ends: a copy may reach a little beyond what it is of."""

_SHORTEST: Final = 3 * _SLACK
"""Peaks that have to be left, so that chance does not find a place."""

_ALIKE: Final = 0.8
"""Least correlation of the two envelopes; that of a copy coded anew is well above 0.9 (our own trials)."""

_Signal = NDArray[np.float64]


def trimmed_by(reference: Peaks, other: Peaks) -> Ms | None:
    """At how many ms of the reference the other begins, below 0 where the reference is the trimmed one.

    The shorter one has to lie within the longer. None where there is no sound, or no place where they are alike.
    """
    if len(reference.levels) < len(other.levels):
        found = trimmed_by(other, reference)
        return None if found is None else -found
    long, short = reference.levels.astype(float), other.levels[_SLACK:-_SLACK].astype(float)
    if len(short) < _SHORTEST or not short.std():
        return None
    alike = _correlation(long, short)
    best = int(np.argmax(alike))
    return (best - _SLACK) * EVERY if alike[best] >= _ALIKE else None


def _correlation(long: _Signal, short: _Signal) -> _Signal:
    """Pearson's correlation of `short` with each stretch of `long` of its length."""
    from scipy.signal import correlate

    size = len(short)
    centred = short - short.mean()
    common = correlate(long - long.mean(), centred, mode="valid", method="fft")
    sums, squares = (np.cumsum(np.concatenate(([0.0], one))) for one in (long, long**2))
    means = (sums[size:] - sums[:-size]) / size
    spread = np.sqrt(np.maximum((squares[size:] - squares[:-size]) / size - means**2, 0))
    below = spread * centred.std() * size
    alike: _Signal = np.divide(common, below, out=np.zeros_like(common), where=spread > 1)
    return alike
