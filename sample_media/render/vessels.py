"""Retinal vessels: arcades that leave the disc, branch, taper and spare the fovea."""

from dataclasses import dataclass, field
from math import atan2, cos, hypot, pi, sin
from typing import NamedTuple, TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from .pixels import Grid, Mask, Point

DISC: Point = (-0.25, -0.02)
FOVEA: Point = (0.13, 0.035)

_STEP = 0.006
_THINNEST = 0.0016

Trunks: TypeAlias = tuple[tuple[float, tuple[Point, ...]], ...]
"""Main vessels as knots in field units; the first number is the width at the disc."""


class Pattern(NamedTuple):
    """The vessels of one eye, drawn as a left one; `tree` grows their branches."""

    tree: int
    arteries: Trunks
    veins: Trunks


# fmt: off
ARTERIES: Trunks = (
    (0.0175, ((-0.235, -0.03), (-0.215, -0.13), (-0.11, -0.30), (0.12, -0.41), (0.42, -0.47), (0.74, -0.62),
      (1.1, -0.74))),
    (0.0175, ((-0.235, -0.005), (-0.205, 0.10), (-0.10, 0.27), (0.14, 0.38), (0.45, 0.42), (0.76, 0.52), (1.12, 0.70))),
    (0.0145, ((-0.262, -0.03), (-0.31, -0.12), (-0.44, -0.27), (-0.58, -0.50), (-0.72, -0.83), (-0.80, -1.1))),
    (0.0145, ((-0.262, -0.005), (-0.30, 0.09), (-0.45, 0.24), (-0.57, 0.47), (-0.62, 0.82), (-0.60, 1.15))),
)
VEINS: Trunks = (
    (0.0245, ((-0.245, -0.03), (-0.25, -0.13), (-0.15, -0.34), (0.10, -0.47), (0.38, -0.56), (0.62, -0.76),
      (0.85, -1.05))),
    (0.0245, ((-0.245, -0.005), (-0.24, 0.10), (-0.15, 0.31), (0.08, 0.45), (0.36, 0.53), (0.58, 0.70), (0.80, 1.05))),
    (0.0195, ((-0.27, -0.025), (-0.35, -0.09), (-0.52, -0.19), (-0.74, -0.35), (-1.12, -0.48))),
    (0.0195, ((-0.27, -0.01), (-0.35, 0.07), (-0.53, 0.16), (-0.76, 0.27), (-1.14, 0.52))),
)
# fmt: on


@dataclass(frozen=True)
class Vessel:
    """A polyline in field units with the vessel's width at each point."""

    points: NDArray[np.float32]
    widths: NDArray[np.float32]


@dataclass
class Growth:
    """Grows branching vessels and keeps them in `found`; `steer` is how strongly they keep to the retina's pattern."""

    rng: np.random.Generator
    steer: float = 0.032
    found: list[Vessel] = field(default_factory=list)

    def trunk(self, width: float, knots: tuple[Point, ...]) -> None:
        """A main vessel along its knots, with branches to both sides in turn."""
        rng = self.rng
        line = _spline(np.array(knots, np.float32))
        line += _wobble(rng, len(line), 0.010)[:, None] * _normals(line)
        widths = np.linspace(width, width * 0.42, len(line), dtype=np.float32)
        self.found.append(Vessel(line, widths))
        side, index = 1.0, int(0.12 / _STEP)
        while index < len(line) - 10:
            ahead = line[index + 5] - line[index]
            heading = atan2(float(ahead[1]), float(ahead[0])) + side * float(rng.uniform(0.5, 1.0))
            thick = float(widths[index]) * float(rng.uniform(0.45, 0.72))
            start = float(line[index][0]), float(line[index][1])
            self.branch(start, heading, thick, float(rng.uniform(0.28, 0.62)), 3)
            side = -side
            index += int(rng.uniform(0.09, 0.19) / _STEP)

    def branch(self, start: Point, heading: float, width: float, length: float, depth: int) -> None:
        """A branch that wanders, fans out, spares the fovea, and branches `depth` times in its turn."""
        if width < _THINNEST:
            return
        rng = self.rng
        points, forks = self._wander(start, heading, length)
        if len(points) < 4:
            return
        line = np.array(points, np.float32)
        self.found.append(Vessel(line, np.linspace(width, width * 0.5, len(line), dtype=np.float32)))
        side = 1.0 if rng.random() < 0.5 else -1.0
        for index, way in forks if depth else ():
            thick = width * (1 - 0.45 * index * _STEP / length) * float(rng.uniform(0.5, 0.75))
            turn = side * float(rng.uniform(0.4, 0.8))
            self.branch(points[index], way + turn, thick, length * float(rng.uniform(0.35, 0.6)), depth - 1)
            side = -side

    def _wander(self, start: Point, heading: float, length: float) -> tuple[list[Point], list[tuple[int, float]]]:
        """The points of one branch, and the index and heading at which others leave it."""
        rng = self.rng
        (x, y), turn = start, 0.0
        points, forks = [start], []
        steps = int(length / _STEP)
        next_fork = int(rng.uniform(0.25, 0.45) * steps)
        for i in range(1, steps + 1):
            turn = 0.84 * turn + float(rng.normal(0, 0.021))
            heading += turn + self.steer * _angle_to(heading, _fan(x, y))
            x, y = x + _STEP * cos(heading), y + _STEP * sin(heading)
            if _is_at_fovea(x, y, heading) or hypot(x, y) > 1.25:
                break
            points.append((x, y))
            if i == next_fork:
                forks.append((i, heading))
                next_fork += max(int(rng.uniform(0.24, 0.42) * steps), 6)
        return points, forks


def grown(rng: np.random.Generator, mains: Trunks) -> list[Vessel]:
    """Main vessels with all their branches."""
    growth = Growth(rng)
    for width, knots in mains:
        growth.trunk(width, knots)
    return growth.found


def _is_at_fovea(x: float, y: float, heading: float) -> bool:
    """Whether a vessel has come as near to the fovea as vessels do, or would begin to circle it."""
    du, dv = FOVEA[0] - x, FOVEA[1] - y
    distance = hypot(du, dv)
    return distance < 0.07 or (distance < 0.20 and du * cos(heading) + dv * sin(heading) < 0.35 * distance)


def _fan(x: float, y: float) -> float:
    """The way vessels tend to go: outward; between the arcades, toward the fovea."""
    inside = abs(y - FOVEA[1]) < 0.33 and -0.15 < x < 0.45
    if inside:
        return atan2(FOVEA[1] - y, FOVEA[0] - x)
    return atan2(y - 0.4 * DISC[1], x - 0.6 * DISC[0])


def _angle_to(heading: float, goal: float) -> float:
    return (goal - heading + pi) % (2 * pi) - pi


def _spline(knots: NDArray[np.float32]) -> NDArray[np.float32]:
    """Catmull-Rom curve through the knots, in steps of about _STEP."""
    padded = np.vstack([2 * knots[0] - knots[1], knots, 2 * knots[-1] - knots[-2]])
    parts = []
    for a, b, c, d in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        t = np.linspace(0, 1, max(int(np.hypot(*(c - b)) / _STEP), 2), endpoint=False)[:, None]
        parts.append(0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3))
    return np.vstack(parts).astype(np.float32)


def _normals(line: NDArray[np.float32]) -> NDArray[np.float32]:
    along = np.gradient(line, axis=0)
    along /= np.maximum(np.hypot(along[:, :1], along[:, 1:]), 1e-6)
    return np.stack([-along[:, 1], along[:, 0]], axis=1).astype(np.float32)


def _wobble(rng: np.random.Generator, count: int, size: float) -> NDArray[np.float32]:
    """Smooth sideways wandering that is nil at the start."""
    knots = rng.normal(0, size, count // 12 + 4)
    knots[:2] = 0
    soft = np.convolve(knots, [0.25, 0.5, 0.25], "same")
    return cast(NDArray[np.float32], np.interp(np.arange(count), np.arange(len(knots)) * 12, soft).astype(np.float32))


def thickness(grid: Grid, vessels: list[Vessel], share: float = 1.0) -> Mask:
    """How much blood light passes at each pixel, 1 on the axis of a wide vessel; `share` narrows the vessels."""
    depth = np.zeros(grid.shape, np.float32)
    for vessel in vessels:
        along = np.arange(len(vessel.points))
        fine = np.linspace(0, len(along) - 1, int(len(along) * _STEP * grid.scale / 1.2) + 2)
        us, vs = (np.interp(fine, along, vessel.points[:, axis]) for axis in (0, 1))
        for u, v, width in zip(us, vs, np.interp(fine, along, vessel.widths), strict=True):
            _stamp(depth, grid, (float(u), float(v)), float(width) * share / 2)
    return depth


def _stamp(depth: Mask, grid: Grid, at: Point, radius: float) -> None:
    """One round cross-section of a tube, at least a pixel wide, fainter where it is really thinner."""
    r = radius * grid.scale
    drawn = max(r, 0.7)
    x, y = grid.pixel(at)
    reach = int(drawn) + 2
    left, top = int(x) - reach, int(y) - reach
    if left < 0 or top < 0 or left + 2 * reach + 2 > grid.width or top + 2 * reach + 2 > grid.height:
        return
    line = np.arange(2 * reach + 2, dtype=np.float32)
    squared = (line[None, :] + (left - x)) ** 2 + (line[:, None] + (top - y)) ** 2
    profile = np.sqrt(np.clip(1.15 - squared / (drawn * drawn), 0, 1)) * min(r / drawn, 1.0)
    part = depth[top : top + 2 * reach + 2, left : left + 2 * reach + 2]
    np.maximum(part, profile, out=part)
