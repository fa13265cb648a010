"""The straight part of every instrument: where it lies in the picture and how steel shines in the eye."""

from dataclasses import dataclass
from math import hypot
from typing import cast

import numpy as np
from numpy.typing import NDArray

from .optics import Place, Target, seen_at
from .pixels import Colour, Grid, Picture, Point, colour

_OUT_OF_FIELD = 1.3

Line = NDArray[np.float32]
"""One value for each pixel that an instrument covers."""


@dataclass(frozen=True)
class Shaft:
    """A tapering band from the tip to where it leaves the field; widths are half-widths, all in field units."""

    tip: Point
    back: Point
    tip_half: float
    back_half: float

    @property
    def length(self) -> float:
        return max(hypot(self.back[0] - self.tip[0], self.back[1] - self.tip[1]), 1e-4)

    @property
    def direction(self) -> Point:
        """From the tip backward."""
        return (self.back[0] - self.tip[0]) / self.length, (self.back[1] - self.tip[1]) / self.length

    def point(self, along: float, across: float = 0.0) -> Point:
        """Field position `along` behind the tip and `across` to the side, in field units."""
        x, y = self.direction
        return self.tip[0] + along * x - across * y, self.tip[1] + along * y + across * x


def shaft(port: Place, target: Target, radius: float) -> Shaft:
    """The band that a rod of `radius` eye radii covers, from `target` to its port."""
    tip = target.place
    here, near = seen_at(tip)
    there, far = here, near
    for step in range(1, 33):
        share = step / 33
        place = (
            tip[0] + (port[0] - tip[0]) * share,
            tip[1] + (port[1] - tip[1]) * share,
            tip[2] + (port[2] - tip[2]) * share,
        )
        there, far = seen_at(place)
        if hypot(*there) > _OUT_OF_FIELD:
            break
    focal = 1.43
    return Shaft(here, there, focal * radius / near, focal * radius / max(far, 0.25))


@dataclass(frozen=True)
class Pixels:
    """The pixels near a shaft: distance behind the tip and to the side, and the local half-width (field units)."""

    rows: NDArray[np.intp]
    columns: NDArray[np.intp]
    along: Line
    across: Line
    half: Line
    pixel: float

    def cover(self, outside: Line) -> Line:
        """Share of a pixel that is inside an edge, from the signed distance to it in field units."""
        return cast(Line, np.clip(0.5 - outside / self.pixel, 0, 1))


def pixels_of(grid: Grid, band: Shaft, ahead: float, aside: float) -> Pixels:
    """The pixels from `ahead` before the tip backward, as far to the side as the shaft and `aside` reach."""
    x, y = band.direction
    widest = max(band.back_half, band.tip_half) + aside
    corners = np.array(
        [band.point(-ahead, s * widest) for s in (-1, 1)] + [band.point(band.length, s * widest) for s in (-1, 1)]
    )
    (left, top), (right, bottom) = corners.min(0), corners.max(0)
    u, v = grid.axes()
    columns = np.flatnonzero((u[0] > left) & (u[0] < right))
    rows = np.flatnonzero((v[:, 0] > top) & (v[:, 0] < bottom))
    if not len(columns) or not len(rows):
        empty = np.zeros(0, np.intp)
        nothing = np.zeros(0, np.float32)
        return Pixels(empty, empty, nothing, nothing, nothing, 1 / grid.scale)
    du, dv = u[:, columns] - np.float32(band.tip[0]), v[rows] - np.float32(band.tip[1])
    along = du * np.float32(x) + dv * np.float32(y)
    across = dv * np.float32(x) - du * np.float32(y)
    half = np.float32(band.tip_half) + along * np.float32((band.back_half - band.tip_half) / band.length)
    near = (along > -ahead) & (np.abs(across) < np.maximum(half, band.tip_half) + aside + 2 / grid.scale)
    r, c = np.nonzero(near)
    return Pixels(rows[r], columns[c], along[near], across[near], np.maximum(half[near], 1e-4), 1 / grid.scale)


@dataclass(frozen=True)
class Shine:
    """How an instrument is lit: by the lamp from one side, and by the glow of the retina from below.

    side    -1 or 1: from which side across the shaft the lamp shines
    tip, back  strength of the lamp's light at the tip and where the shaft leaves the field
    glow    light that the retina throws back, red-green-blue
    """

    side: float
    tip: float
    back: float
    glow: Colour


def steel(
    at: Pixels, across: Line, half: Line, shine: Shine, length: float, tint: Colour = (0.60, 0.63, 0.68)
) -> Picture:
    """Colour of a polished round rod; `across` and `half` may be those of a part of the instrument."""
    s = np.clip(across / half, -1, 1)
    facing = np.sqrt(1 - s * s)
    share = np.clip(at.along / length, 0, 1)
    lamp = shine.tip + (shine.back - shine.tip) * np.sqrt(share)
    streak = np.exp(-(((s - 0.46 * shine.side) / 0.16) ** 2)) + 0.30 * np.exp(-(((s + 0.50 * shine.side) / 0.12) ** 2))
    body = 0.10 + 0.30 * np.clip(facing * 0.6 + 0.5 * s * shine.side, 0, 1)
    light = lamp * (body * 0.55 + 1.05 * streak * facing) + 0.035
    bounce = (0.10 + 0.55 * (1 - facing) ** 1.5)[:, None] * colour(shine.glow)
    paint = light[:, None] * colour(tint) + bounce * colour(tint)
    return cast(Picture, (paint * (1 - 0.85 * np.clip(np.abs(s) * 1.25 - 0.98, 0, 1))[:, None]).astype(np.float32))


def lay(picture: Picture, at: Pixels, paint: Picture, cover: Line) -> None:
    """Put instrument pixels into the picture."""
    under = picture[at.rows, at.columns]
    picture[at.rows, at.columns] = under + (paint - under) * cover[:, None]


def glow(picture: Picture, grid: Grid, at: Point, radius: float, light: Colour) -> None:
    """Add a soft round light, half as bright at `radius` field units."""
    window = grid.window(at, 3.2 * radius)
    if window.is_empty:
        return
    u, v = window.axes()
    squared = ((u - at[0]) ** 2 + (v - at[1]) ** 2) / np.float32(radius * radius)
    halo = np.exp2(-squared) * np.float32(0.7) + np.float32(0.3) / (1 + squared * squared)
    fade = np.clip(1 - squared / 10.2, 0, 1)
    picture[window.slices] += (halo * fade)[..., None] * colour(light)
