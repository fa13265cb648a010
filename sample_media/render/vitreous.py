"""What floats in front of the retina: strands of vitreous, the detaching hyaloid, a plume of blood."""

from dataclasses import dataclass
from functools import cached_property
from math import cos, hypot, sin
from typing import cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from . import noise
from .optics import Target
from .pixels import Grid, Mask, Picture, Point, ease, smoothstep
from .stage import Bleed, Gel, Span
from .vessels import DISC

_SEED = 77


@dataclass(frozen=True)
class Vitreous:
    """Masks, on the grid of the light, of what scatters light back before it reaches the retina."""

    grid: Grid
    gel: Gel
    peels: Span

    @cached_property
    def _strands(self) -> tuple[Mask, Mask]:
        """Two sheets of filaments and veils, wider than the field."""
        rng = np.random.default_rng(_SEED)
        size = int(self.grid.width * 1.5)
        sheets = []
        for cells in (5.0, 8.0):
            thread = noise.ridged(rng, size, cells, 4, 0.10) ** 3
            veil = noise.fractal(rng, size, 4, 3)
            sheets.append(
                cast(
                    Mask,
                    (1.15 * thread * smoothstep(0.36, 0.60, veil) + 0.16 * smoothstep(0.45, 0.8, veil)).astype(
                        np.float32
                    ),
                )
            )
        return sheets[0], sheets[1]

    def strands(self, t: float, cutter: Target | None) -> Mask | None:
        """Strands at `t`, drawn toward the cutter while it works; None once they are gone."""
        amount = self.gel.left(t)
        if amount <= 0.01:
            return None
        total = np.zeros(self.grid.shape, np.float32)
        u, v = self.grid.axes()
        x, y = u + 0 * v, v + 0 * u
        if cutter is not None:
            du, dv = x - np.float32(cutter.u), y - np.float32(cutter.v)
            pull = 0.55 * np.exp(-(du * du + dv * dv) / 0.06)
            x, y = x + pull * du * 1.6, y + pull * dv * 1.6
        for i, sheet in enumerate(self._strands):
            turn, speed = 0.05 * t * (1 - 2 * i) + i, 0.10 + 0.05 * i
            sx = (cos(turn) * x - sin(turn) * y) + 0.16 * sin(speed * 2.2 * t + i)
            sy = (sin(turn) * x + cos(turn) * y) + 0.12 * cos(speed * 1.7 * t)
            half = sheet.shape[0] / 2
            scale = half / 1.6
            total += cv2.remap(
                sheet,
                (sx * scale + half).astype(np.float32),
                (sy * scale + half).astype(np.float32),
                cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REFLECT,
            )
        return cast(Mask, total * np.float32(amount))

    def hyaloid(self, t: float, cutter: Target | None) -> Mask | None:
        """The edge of the posterior hyaloid as it peels outward from the disc, and the ring it leaves there."""
        start, end = self.peels
        if not start - 0.6 < t < end + 0.4:
            return None
        u, v = self.grid.axes()
        x, y = u - np.float32(DISC[0]), v - np.float32(DISC[1])
        angle, d = np.arctan2(y, x), np.hypot(x, y)
        front = 0.05 + 1.35 * ease(start, end, t) ** 1.15
        ragged = 0.34 * (self._smoke - 0.5)
        wavy = front * (1 + 0.07 * np.sin(3 * angle + 0.5) + 0.05 * np.sin(5 * angle + 2 + 0.4 * t)) + ragged * min(
            front, 0.4
        )
        gap = d - wavy
        strength = 0.35 + 0.65 * np.sin(2 * angle - 0.8 + 0.2 * t) ** 2
        fold = strength * np.exp(-((gap / 0.010) ** 2)) + 0.35 * np.exp(-(((gap + 0.030) / 0.018) ** 2)) * (
            0.5 + 0.5 * np.sin(17 * angle + t)
        )
        fold += 0.22 * np.exp(-(((gap + 0.075) / 0.030) ** 2)) * (1 - strength)
        sheen = 0.10 * smoothstep(0.0, -0.25, gap) * smoothstep(-0.7, -0.2, gap)
        shown = ease(start - 0.6, start, t) * ease(end + 0.4, end - 1.2, t)
        mask = 0.34 * fold + sheen
        if cutter is not None:
            mask += self._ring(t, (cutter.u, cutter.v))
        return cast(Mask, (mask * shown).astype(np.float32))

    def _ring(self, t: float, tip: Point) -> Mask:
        """The condensed ring from about the disc, which follows the cutter and is taken by it."""
        start, end = self.peels
        follows = ease(start, start + 2.2, t)
        centre = (DISC[0] + (tip[0] - DISC[0]) * follows, DISC[1] + (tip[1] - DISC[1]) * follows)
        size = 0.072 * (1 + 0.5 * follows) * (1 - 0.8 * ease(end - 2.4, end - 0.6, t))
        u, v = self.grid.axes()
        x, y = u - np.float32(centre[0]), (v - np.float32(centre[1])) * (1 + 0.5 * follows)
        angle = np.arctan2(y, x)
        d = np.hypot(x, y) - size * (1 + 0.13 * np.sin(2 * angle + 0.7 * t) + 0.07 * np.sin(5 * angle))
        return cast(Mask, 0.55 * np.exp(-((d / 0.0085) ** 2)) * (0.7 + 0.3 * np.sin(3 * angle + 1)))

    @cached_property
    def _smoke(self) -> Mask:
        return noise.fractal(np.random.default_rng(_SEED + 1), self.grid.width, 7, 4, 0.6)

    def plume(self, bleed: Bleed, t: float) -> Mask | None:
        """Fresh blood that streams up from the bleeding point in the infusion's current."""
        strength = min(ease(bleed.begins, bleed.begins + 0.8, t), ease(bleed.full + 1.6, bleed.full - 0.6, t))
        if strength <= 0:
            return None
        u, v = self.grid.axes()
        age = t - bleed.begins
        x, y = u - np.float32(bleed.at[0]), v - np.float32(bleed.at[1])
        along = -0.80 * x - 0.60 * y
        across = 0.60 * x - 0.80 * y + 0.05 * np.sin(9 * along - 2.2 * t)
        length = 0.10 + 0.13 * age
        width = 0.012 + 0.22 * np.clip(along, 0, 1)
        body = (
            np.exp(-((across / width) ** 2)) * smoothstep(-0.01, 0.03, along) * smoothstep(length, 0.2 * length, along)
        )
        roll = int(t * 0.06 * self.grid.width) % self.grid.width
        smoke = np.roll(self._smoke, (-roll, -roll // 2), axis=(0, 1))
        return cast(Mask, (strength * body * smoothstep(0.30, 0.72, smoke)).astype(np.float32))


def haze(grid: Grid, tip: Point, aim: Point, amount: float) -> Mask:
    """The beam made visible by what floats in the eye: a soft wedge from the light pipe along its aim."""
    u, v = grid.axes()
    x, y = u - np.float32(tip[0]), v - np.float32(tip[1])
    d = np.hypot(x, y)
    length = max(hypot(*aim), 1e-6)
    ahead = (x * aim[0] + y * aim[1]) / (np.maximum(d, 1e-4) * np.float32(length))
    return cast(Mask, (np.float32(amount) * smoothstep(0.25, 1.0, ahead) * np.exp(-d / 0.30)).astype(np.float32))


def lay(light_back: Picture, mask: Mask, tint: tuple[float, float, float]) -> None:
    """Add scattered light of a tint."""
    light_back += mask[..., None] * np.array(tint, np.float32)
