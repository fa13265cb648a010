"""Light in the eye: the lamps, what they throw on the retina, and the shadows of the instruments."""

from itertools import pairwise
from typing import NamedTuple, cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from . import optics
from .optics import Place, Places, Target
from .pixels import Grid, Mask, Picture, Point, blurred, colour

SCATTERED = (0.150, 0.082, 0.050)
"""What the walls of the eye throw everywhere, red as they are, for a lamp of strength 1."""

_DAYLIGHT = 0.16
"""What gets in without a lamp, as a lamp of this strength would scatter."""

LAMPLIGHT = (1.0, 0.965, 0.88)


class Lamp(NamedTuple):
    """A light in the eye; cone half-angles in degrees."""

    place: Place
    aim: Place
    inner: float
    outer: float
    power: float


class Rod(NamedTuple):
    """An instrument as something that throws a shadow."""

    port: Place
    tip: Target
    radius: float


def light_pipe(port: Place, tip: Target, power: float) -> Lamp:
    """The lamp at the end of a light pipe: it shines along the pipe, spread wide by its bevel."""
    place = np.array(tip.place)
    along = place - np.array(port)
    along /= float(np.linalg.norm(along))
    aim = place + 0.62 * along + np.array((0.12, 0.10, -0.55))
    return Lamp(tip.place, (float(aim[0]), float(aim[1]), float(aim[2])), 8, 68, power)


def chandelier(power: float) -> Lamp:
    """The fixed light near 12 o'clock: wide and even."""
    return Lamp((0.10, -0.70, 0.50), (0.30, 0.34, -0.80), 4, 62, 1.4 * power)


class Lighting(NamedTuple):
    """light: what falls on each point, red-green-blue; direct: the share that comes straight from the lamps."""

    light: Picture
    direct: Mask


def on_retina(grid: Grid, points: Places, lamps: list[Lamp], rods: list[Rod]) -> Lighting:
    """Light on the retina for a grid; `points` are the retina's places on a grid of half its resolution."""
    direct = np.zeros(grid.shape, np.float32)
    total = _DAYLIGHT
    for lamp in lamps:
        if lamp.power <= 0.01:
            continue
        fall = optics.lit(points, lamp.place, lamp.aim, lamp.inner, lamp.outer) * np.float32(1.05 * lamp.power)
        full = cast(Mask, cv2.resize(fall, (grid.width, grid.height), interpolation=cv2.INTER_LINEAR))
        for rod in rods:
            full *= 1 - 0.80 * _shadow(grid, lamp, rod)
        direct += full
        total += min(lamp.power, 1.0)
    direct = (1 - np.exp(-0.85 * direct)) * np.float32(1.22)
    light = direct[..., None] * colour(LAMPLIGHT) + np.float32(min(total, 1.3)) * colour(SCATTERED)
    return Lighting(cast(Picture, light), direct)


def _shadow(grid: Grid, lamp: Lamp, rod: Rod) -> Mask:
    """The band of shadow of one instrument, 1 where it is deepest; sharper the nearer it is to the retina."""
    mask = np.zeros(grid.shape, np.uint8)
    line: list[tuple[Point, float]] = []
    tip = np.array(rod.tip.place)
    for share in np.linspace(0, 0.8, 12):
        place = tip + (np.array(rod.port) - tip) * share
        at = (float(place[0]), float(place[1]), float(place[2]))
        where = optics.shadow_of(at, lamp.place)
        if where is None:
            break
        spread = 1.0 / max(float(np.linalg.norm(place - np.array(lamp.place))), 0.12)
        line.append((where, 0.55 * rod.radius * max(spread, 1.0)))
    if len(line) < 2:
        return mask.astype(np.float32)
    for (a, wide_a), (b, wide_b) in pairwise(line):
        _band(mask, grid, a, b, wide_a, wide_b)
    softness = grid.scale * (0.0035 + 0.020 * min(rod.tip.height, 0.5))
    return blurred(mask.astype(np.float32) * np.float32(1 / 255), softness)


def _band(
    mask: "np.ndarray[tuple[int, int], np.dtype[np.uint8]]",
    grid: Grid,
    a: Point,
    b: Point,
    wide_a: float,
    wide_b: float,
) -> None:
    """Fill one stretch of the band, to a sixteenth of a pixel."""
    along = np.array(b) - np.array(a)
    length = float(np.hypot(*along))
    if length < 1e-4 or length > 1.5:
        return
    side = np.array([-along[1], along[0]]) / length
    corners = [
        np.array(a) + side * wide_a,
        np.array(b) + side * wide_b,
        np.array(b) - side * wide_b,
        np.array(a) - side * wide_a,
    ]
    pixels = np.array([grid.pixel((float(c[0]), float(c[1]))) for c in corners])
    cv2.fillConvexPoly(mask, np.clip(pixels * 16, -30000, 30000).astype(np.int32), 255, cv2.LINE_AA, 4)
