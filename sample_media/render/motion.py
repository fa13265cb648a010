"""Where tips go: smooth paths through timed points, with the small tremor of a hand."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import sin

from .optics import Target

Key = tuple[float, float, float, float]
"""Seconds of the script, then u, v and height of a Target."""


@dataclass(frozen=True)
class Path:
    """A curve through the keys that never overshoots one; before the first and after the last it rests."""

    keys: tuple[Key, ...]

    @cached_property
    def _slopes(self) -> list[list[float]]:
        return [_monotone_slopes(self.keys, axis) for axis in (1, 2, 3)]

    def at(self, t: float) -> Target:
        keys = self.keys
        if t <= keys[0][0]:
            return Target(*keys[0][1:])
        if t >= keys[-1][0]:
            return Target(*keys[-1][1:])
        i = bisect_right([key[0] for key in keys], t) - 1
        span = keys[i + 1][0] - keys[i][0]
        x = (t - keys[i][0]) / span
        start, leave = (1 + 2 * x) * (1 - x) ** 2, x * (1 - x) ** 2 * span
        end, arrive = x * x * (3 - 2 * x), x * x * (x - 1) * span
        values = [
            keys[i][axis] * start + keys[i + 1][axis] * end + slopes[i] * leave + slopes[i + 1] * arrive
            for axis, slopes in enumerate(self._slopes, start=1)
        ]
        return Target(*values)


def _monotone_slopes(keys: Sequence[Key], axis: int) -> list[float]:
    """Slopes of a piecewise cubic that keeps to the data (harmonic mean of the neighbours; 0 at turns and ends)."""
    steps = [(b[axis] - a[axis]) / (b[0] - a[0]) for a, b in pairwise(keys)]
    inner = [2 * a * b / (a + b) if a * b > 0 else 0.0 for a, b in pairwise(steps)]
    return [0.0, *inner, 0.0]


def tremor(target: Target, t: float, seed: float, size: float = 0.0024) -> Target:
    """A hand is never still: slow sway and a fine shake of up to about `size` field units."""
    a, b = _waves(t, seed), _waves(t, seed + 7.3)
    return Target(
        target.u + size * a, target.v + size * b, max(target.height + 0.4 * size * _waves(t, seed + 3.1), 0.0)
    )


def _waves(t: float, seed: float) -> float:
    return 0.62 * sin(2.1 * t + seed) + 0.38 * sin(5.3 * t + 2.1 * seed) + 0.16 * sin(31.0 * t + 3.7 * seed)


def drift(t: float) -> tuple[float, float, float]:
    """Slow movement of the eye under the microscope: shift in u and v (field units) and roll (radians)."""
    u = 0.010 * sin(0.43 * t) + 0.006 * sin(1.13 * t + 0.6)
    v = 0.009 * sin(0.37 * t + 1.9) + 0.005 * sin(0.97 * t)
    return u, v, 0.008 * sin(0.29 * t + 0.4)
