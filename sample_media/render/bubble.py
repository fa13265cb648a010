"""The fluid-air exchange and the oil: a round border between liquid and air that bends and mirrors the light."""

from math import cos, hypot, sin
from typing import NamedTuple, cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from .pixels import Grid, Mask, Picture, Point, colour, ease, smoothstep
from .stage import Exchange, Span

MINIFIED = 1.085
"""How much smaller the retina looks through air."""

_ALL_LIQUID = 1.55
_GONE = 0.004


class Border(NamedTuple):
    """Liquid lies within `radius` of `centre`, air outside; `is_oil` says which liquid."""

    centre: Point
    radius: float
    is_oil: bool

    @property
    def is_open(self) -> bool:
        """Whether the border is to be seen at all."""
        return _GONE < self.radius < _ALL_LIQUID - 0.01

    @property
    def is_all_air(self) -> bool:
        return self.radius <= _GONE


def border(exchange: Exchange, t: float) -> Border:
    """Where liquid meets air at a time of the script."""
    if exchange.oil is None or t < exchange.oil[0]:
        shrink = ease(*exchange.air, t)
        return Border(exchange.lake, _ALL_LIQUID * (1 - shrink) ** 1.25, False)
    return Border(exchange.lake, _ALL_LIQUID * ease(*exchange.oil, t) ** 0.85, True)


def shrink(at: Point, border: Border) -> float:
    """How much nearer to the middle of the field a point appears: MINIFIED through air, not at all through liquid."""
    d = hypot(at[0] - border.centre[0], at[1] - border.centre[1]) - border.radius
    return 1 / (1 + (MINIFIED - 1) * ease(-0.03, 0.05, d))


def bend(picture: Picture, grid: Grid, coarse: Grid, at: Border, t: float) -> Picture:
    """The view through the border: smaller outside it, squeezed along it."""
    u, v = coarse.axes()
    d, _ = _distance(u, v, at, t)
    outside = smoothstep(-0.03, 0.05, d)
    squeeze = 0.055 * np.exp(-((d / 0.05) ** 2))
    x, y = u - np.float32(at.centre[0]), v - np.float32(at.centre[1])
    far = np.maximum(np.hypot(x, y), 1e-3)
    scale = 1 + (MINIFIED - 1) * outside
    su, sv = u * scale - squeeze * x / far, v * scale - squeeze * y / far
    size = (grid.width, grid.height)
    px = cv2.resize((su * np.float32(grid.scale) + np.float32((grid.width - 1) / 2)).astype(np.float32), size)
    py = cv2.resize((sv * np.float32(grid.scale) + np.float32((grid.height - 1) / 2)).astype(np.float32), size)
    return cast(Picture, cv2.remap(picture, px, py, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT))


def shine(back: Picture, light: Picture, grid: Grid, at: Border, lamp: Point, t: float) -> None:
    """Bright and dark lines along the border, and the lamp mirrored in it; all on the grid of the light."""
    u, v = grid.axes()
    d, angle = _distance(u, v, at, t)
    to_lamp = float(np.arctan2(lamp[1] - at.centre[1], lamp[0] - at.centre[0]))
    facing = 0.5 + 0.5 * np.cos(angle - np.float32(to_lamp))
    thin = np.exp(-((d / 0.0075) ** 2)) * (0.05 + 0.62 * facing**4)
    wide = np.exp(-(((d + 0.030) / 0.020) ** 2)) * (0.03 + 0.10 * facing)
    far_side = np.exp(-(((d - 0.012) / 0.012) ** 2)) * 0.16 * (1 - facing) ** 3
    light *= (1 - 0.55 * np.exp(-(((d - 0.026) / 0.022) ** 2)))[..., None]
    tint = (1.0, 0.93, 0.74) if at.is_oil else (0.96, 0.98, 1.0)
    back += (thin + wide + far_side)[..., None] * colour(tint)
    _through_air(back, light, smoothstep(-0.02, 0.06, d))


def all_air(back: Picture, light: Picture) -> None:
    """The view once no border is left: through air everywhere."""
    _through_air(back, light, np.ones(light.shape[:2], np.float32))


def _through_air(back: Picture, light: Picture, share: Mask) -> None:
    """Air lets more light back and veils it a little."""
    light *= 1 + share[..., None] * colour((0.16, 0.14, 0.13))
    back += share[..., None] * colour((0.009, 0.0085, 0.0085))


def _distance(u: Mask, v: Mask, at: Border, t: float) -> tuple[Mask, Mask]:
    """Signed distance to the border (outside positive) and the angle about its centre; the border trembles."""
    x, y = u - np.float32(at.centre[0]), v - np.float32(at.centre[1])
    angle = np.arctan2(y, x)
    sway = (
        1
        + 0.030 * np.sin(2 * angle + 1.3 * t)
        + 0.018 * np.sin(3 * angle - 1.9 * t)
        + 0.008 * np.sin(5 * angle + 3.1 * t)
    )
    return cast(Mask, (np.hypot(x, y * 1.06) - at.radius * sway).astype(np.float32)), cast(
        Mask, angle.astype(np.float32)
    )


def mirror(back: Picture, grid: Grid, strength: float, lamp: Point, tint: tuple[float, float, float]) -> None:
    """The lamp's image in the back of the lens: a crescent and a faint ghost opposite, as seen in air or oil."""
    u, v = grid.axes()
    x, y = u + np.float32(0.55 * lamp[0]), v + np.float32(0.55 * lamp[1])
    ghost = np.exp(-((np.hypot(x, y) / 0.10) ** 4)) * 0.035
    bx, by = u - np.float32(0.72 * lamp[0] - 0.04), v - np.float32(0.72 * lamp[1] + 0.02)
    ring = np.exp(-(((np.hypot(bx, by * 1.15) - 0.085) / 0.014) ** 2))
    side = np.clip(-(bx * lamp[0] + by * lamp[1]) / (np.hypot(bx, by) * max(float(np.hypot(*lamp)), 0.05) + 1e-3), 0, 1)
    back += (np.float32(strength) * (ghost + 0.40 * ring * side**2))[..., None] * colour(tint)


_BEADS = ((0.30, -0.62, 0.030), (0.38, -0.55, 0.016), (0.22, -0.58, 0.011), (-0.05, -0.70, 0.020), (0.46, -0.62, 0.010))


def beads(back: Picture, light: Picture, grid: Grid, oil: Span, t: float) -> None:
    """A few round drops left where oil met air, each with its dark rim and its two lights."""
    shown = ease(oil[0] + 2.2, oil[0] + 3.4, t)
    if shown <= 0:
        return
    for i, (u0, v0, radius) in enumerate(_BEADS):
        at = (u0 + 0.012 * sin(0.8 * t + i), v0 + 0.010 * cos(0.9 * t + 2 * i))
        window = grid.window(at, radius * 1.6)
        u, v = window.axes()
        x, y = (u - np.float32(at[0])) / radius, (v - np.float32(at[1])) / radius
        d = np.hypot(x, y)
        light[window.slices] *= (1 - 0.60 * np.float32(shown) * np.exp(-(((d - 0.90) / 0.16) ** 2)))[..., None]
        spot = np.exp(-(((x + 0.42) ** 2 + (y + 0.40) ** 2) / 0.05)) + 0.35 * np.exp(
            -(((d - 0.66) / 0.12) ** 2)
        ) * np.clip(x + y, 0, 1)
        back[window.slices] += (np.float32(0.75 * shown) * spot)[..., None] * colour((1.0, 0.96, 0.86))
