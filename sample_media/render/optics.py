"""The eye as a ball seen through the pupil: where things in space appear, and how light falls on the retina.

Space is in eye radii: the ball is the unit sphere, x right and y down as in the picture, z toward the viewer.
Field positions follow an equidistant wide-angle view: distance from the centre grows with the angle of sight.
"""

from math import atan2, cos, hypot, radians, sin
from typing import NamedTuple, TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from .pixels import Mask, Point

HALF_FIELD = radians(40)
EYE_POINT = 0.8
"""Height of the eye point on the axis, in eye radii."""

Place: TypeAlias = tuple[float, float, float]
Places: TypeAlias = NDArray[np.float32]
"""... x 3."""


class Target(NamedTuple):
    """Where a tip is: over this point of the field, `height` eye radii in front of the retina."""

    u: float
    v: float
    height: float

    @property
    def place(self) -> Place:
        return in_front_of(self.u, self.v, self.height)


def sight(u: float, v: float) -> Place:
    """The direction in which a field position is seen, from the eye point."""
    r = hypot(u, v)
    angle = r * HALF_FIELD
    side = sin(angle) / r if r > 1e-6 else HALF_FIELD
    return u * side, v * side, -cos(angle)


def depth_of_retina(u: float, v: float) -> float:
    """Distance from the eye point to the retina along the line of sight."""
    z = sight(u, v)[2]
    along = EYE_POINT * z
    return float(-along + (along * along - EYE_POINT * EYE_POINT + 1) ** 0.5)


def in_front_of(u: float, v: float, height: float) -> Place:
    """The point that is seen at (u, v) and lies `height` in front of the retina."""
    x, y, z = sight(u, v)
    d = depth_of_retina(u, v) - height
    return x * d, y * d, EYE_POINT + z * d


def seen_at(place: Place) -> tuple[Point, float]:
    """Field position and distance from the eye point of a point in space."""
    x, y, z = place[0], place[1], place[2] - EYE_POINT
    side = hypot(x, y)
    r = atan2(side, -z) / HALF_FIELD
    share = r / side if side > 1e-9 else 0.0
    return (x * share, y * share), (side * side + z * z) ** 0.5


def retina(u: Mask, v: Mask) -> Places:
    """Points of the retina for arrays of field positions."""
    r = np.hypot(u, v)
    angle = r * np.float32(HALF_FIELD)
    side = np.where(r > 1e-6, np.sin(angle) / np.maximum(r, 1e-6), HALF_FIELD)
    z = -np.cos(angle)
    along = EYE_POINT * z
    d = -along + np.sqrt(along * along - EYE_POINT * EYE_POINT + 1)
    return cast(Places, np.stack([u * side * d, v * side * d, EYE_POINT + z * d], axis=-1).astype(np.float32))


def lit(points: Places, lamp: Place, aim: Place, inner: float, outer: float) -> Mask:
    """Light that falls on the retina at `points` from a lamp with a soft-edged cone.

    `inner` and `outer` are half-angles of the cone in degrees. One unit is what falls square on at a
    distance of one eye radius.
    """
    axis = np.array(aim, np.float32) - np.array(lamp, np.float32)
    axis /= max(float(np.linalg.norm(axis)), 1e-6)
    way = points - np.array(lamp, np.float32)
    squared = np.maximum(np.einsum("...i,...i", way, way), 0.004)
    distance = np.sqrt(squared)
    slant = np.clip(np.einsum("...i,...i", way, points) / distance, 0, 1)
    spread = (way @ axis) / distance
    edge = np.clip((spread - cos(radians(outer))) / (cos(radians(inner)) - cos(radians(outer))), 0, 1)
    return cast(Mask, (slant * edge * edge * (3 - 2 * edge) / (squared + 0.10)).astype(np.float32))


def shadow_of(place: Place, lamp: Place) -> Point | None:
    """Field position of the shadow that a point throws on the retina; None where it throws none."""
    ray = np.array(place) - np.array(lamp)
    a, b, c = float(ray @ ray), float(ray @ np.array(lamp)), float(np.array(lamp) @ np.array(lamp)) - 1
    inside = b * b - a * c
    if a < 1e-9 or inside <= 0:
        return None
    hit = np.array(lamp) + ray * ((-b + inside**0.5) / a)
    if hit[2] > 0.4:
        return None
    return seen_at((float(hit[0]), float(hit[1]), float(hit[2])))[0]
