"""The model eye from in front, as it lies in its holder while the ports are placed and taken out."""

from dataclasses import dataclass
from functools import cached_property
from math import hypot, sin
from typing import cast

import numpy as np

from . import front_eye, instruments
from .instruments import Kind, Pose
from .pixels import Colour, Grid, Mask, Picture, Point, colour, ease, mix, smoothstep
from .shafts import Shaft, Shine, lay, pixels_of, steel
from .stage import Port, Stage


@dataclass
class Outside:
    """Draws the front view for a picture of this size."""

    width: int
    height: int
    stage: Stage

    @cached_property
    def grid(self) -> Grid:
        return Grid(self.width, self.height, self.height / 2 * 1.02)

    def draw(self, t: float) -> Picture:
        """The front of the eye at `t` seconds of the script."""
        picture = self._eye_now(t).copy()
        ports = self.stage.ports
        for port in ports:
            self._port(picture, port, t)
        self._line(picture, self._tube, ports[0], t, (0.62, 0.66, 0.66), 0.55)
        if self._lit is not None:
            self._line(picture, self._fibre, self._lit, t, (0.80, 0.72, 0.50), 0.9)
        for port in ports:
            self._placing(picture, port, t)
            self._removing(picture, port, t)
        return picture

    @property
    def _lit(self) -> Port | None:
        """The port of the fixed light, where there is one."""
        return None if self.stage.fixed is None else self.stage.ports[self.stage.fixed[0]]

    def _eye_now(self, t: float) -> Picture:
        """The still picture, with the glow in the pupil: brighter once the fixed light is in the eye."""
        lit, glow = self._lit, 0.2
        if lit is not None:
            first = t < (lit.placed + lit.removed) / 2
            glow = (
                ease(lit.placed + 0.3, lit.placed + 0.8, t)
                if first
                else 0.8 * ease(lit.removed + 0.2, lit.removed - 0.2, t) + 0.2
            )
        return cast(
            Picture,
            self._eye + (np.float32(0.15 + 0.85 * glow) * self._reflex)[..., None] * colour((0.55, 0.13, 0.035)),
        )

    @cached_property
    def _eye(self) -> Picture:
        u, v = self.grid.axes()
        picture = np.empty((self.height, self.width, 3), np.float32)
        front_eye.sclera(picture, self.grid, u, v)
        front_eye.iris(picture, u, v)
        front_eye.cornea(picture, u, v)
        front_eye.lids(picture, u, v)
        front_eye.speculum(picture, self.grid)
        picture *= (1 - 0.93 * smoothstep(0.55, 1.75, np.hypot(u, v)))[..., None]
        return picture

    @cached_property
    def _reflex(self) -> Mask:
        u, v = self.grid.axes()
        d = np.hypot(u, v)
        glow = smoothstep(front_eye.PUPIL, front_eye.PUPIL * 0.86, d) * (
            0.30 + 0.70 * np.exp(-(((u - 0.06) ** 2 + (v - 0.08) ** 2) / 0.05))
        )
        return cast(Mask, glow.astype(np.float32))

    def _port(self, picture: Picture, port: Port, t: float) -> None:
        """The collar of a cannula on the sclera with its dark opening, or the mark it leaves."""
        window = self.grid.window(port.at, 0.12)
        u, v = window.axes()
        x, y = u - np.float32(port.at[0]), v - np.float32(port.at[1])
        part = picture[window.slices]
        if t >= port.placed:
            d = np.hypot(x, y)
            mix(part, colour((0.50, 0.10, 0.07)), 0.35 * np.exp(-((d / 0.030) ** 2)))
            mix(part, colour((0.20, 0.02, 0.02)), 0.8 * np.exp(-((np.hypot(x, y * 2.5) / 0.007) ** 2)))
        if port.placed + 0.05 <= t < port.removed:
            _collar(part, x, y, port.collar)

    def _placing(self, picture: Picture, port: Port, t: float) -> None:
        """The trocar comes in along its radius, presses, and is drawn back out of its cannula."""
        gap = 1.1 * ease(port.placed - 0.35, port.placed - 1.0, t) + 1.1 * ease(
            port.placed + 0.15, port.placed + 0.65, t
        )
        if gap >= 1.09:
            return
        shake = 0.003 * sin(9 * t)
        band = _toward(port.at, gap - 0.020 + shake, 0.012, 0.066)
        shine = Shine(-1.0, 1.0, 0.8, (0.10, 0.10, 0.10))
        at = pixels_of(self.grid, band, 0.02, 0.03)
        blade = steel(at, at.across, np.full_like(at.half, 0.012), shine, band.length)
        point = np.clip(at.along / 0.05, 0, 1) * 0.012
        lay(picture, at, blade, at.cover((np.abs(at.across) - point).astype(np.float32)))
        grip = np.full_like(at.half, 0.062)
        handle = steel(at, at.across, grip, shine, band.length, port.collar)
        neck = np.clip(0.42 + (at.along - 0.15) / 0.16, 0.42, 1) * (
            1 - 0.10 * (np.sin(at.along * 105) > 0.55) * (at.along < 0.62)
        )
        body = np.maximum(np.abs(at.across) - grip * neck, 0.15 - at.along)
        lay(picture, at, handle, at.cover(body.astype(np.float32)))
        if t < port.placed + 0.05:
            collar = np.maximum(np.abs(at.across) - 0.034, np.abs(at.along - 0.095) - 0.016)
            lay(
                picture,
                at,
                steel(at, at.across, np.full_like(at.half, 0.036), shine, band.length, port.collar),
                at.cover(collar.astype(np.float32)),
            )

    def _removing(self, picture: Picture, port: Port, t: float) -> None:
        """Forceps take hold of the collar and draw the cannula out."""
        gap = 1.1 * ease(port.removed - 0.30, port.removed - 0.95, t) + 1.1 * ease(
            port.removed + 0.02, port.removed + 0.62, t
        )
        if gap >= 1.09:
            return
        band = _toward(port.at, gap - 0.012, 0.026, 0.040)
        closed = ease(port.removed - 0.35, port.removed - 0.1, t)
        if t >= port.removed:
            window = self.grid.window(band.tip, 0.12)
            if not window.is_empty:
                u, v = window.axes()
                _collar(picture[window.slices], u - np.float32(band.tip[0]), v - np.float32(band.tip[1]), port.collar)
        instruments.draw(
            picture, self.grid, Kind.FORCEPS, Pose(band, Shine(-1.0, 1.0, 0.8, (0.10, 0.10, 0.10)), 0.85 * closed, 0)
        )

    @cached_property
    def _tube(self) -> tuple[Mask, Mask]:
        return front_eye.hose(self.grid, ((0.575, 0.385), (0.80, 0.46), (1.05, 0.78), (1.30, 1.25)), 0.030)

    @cached_property
    def _fibre(self) -> tuple[Mask, Mask]:
        return front_eye.hose(self.grid, ((0.060, -0.680), (0.10, -0.82), (0.26, -0.95), (0.50, -1.15)), 0.011)

    @staticmethod
    def _line(picture: Picture, hose: tuple[Mask, Mask], port: Port, t: float, tint: Colour, opacity: float) -> None:
        """A hose or fibre that is plugged into its port after it is placed and pulled before it is taken out."""
        shown = ease(port.placed + 0.5, port.placed + 0.9, t) * ease(port.removed - 0.9, port.removed - 1.3, t)
        if shown <= 0:
            return
        across, along = hose
        inside = smoothstep(1.05, 0.92, across) * smoothstep(0.0, 0.1, along - np.float32(1 - shown))
        shade = 0.30 + 0.65 * np.sqrt(np.clip(1 - across**2, 0, 1)) + 0.6 * np.exp(-(((across - 0.35) / 0.16) ** 2))
        picture *= (
            1 - (0.25 * np.exp(-(np.maximum(across - 0.8, 0) ** 2) / 0.5) * (along > 1 - shown) * shown)[..., None]
        )
        mix(picture, shade[..., None] * colour(tint), np.float32(opacity) * inside)


def _toward(at: Point, gap: float, tip_half: float, back_half: float) -> Shaft:
    """A straight tool that stands out radially from a port, its tip `gap` short of it."""
    r = hypot(*at)
    x, y = at[0] / r, at[1] / r
    y, x = (y * 0.75, x * 1.1)
    length = hypot(x, y)
    x, y = x / length, y / length
    return Shaft(
        (at[0] + x * gap, at[1] + y * gap), (at[0] + x * (gap + 1.6), at[1] + y * (gap + 1.6)), tip_half, back_half
    )


def _collar(part: Picture, x: Mask, y: Mask, tint: Colour) -> None:
    """A cannula's round collar seen from above, with its shadow, bevel and opening."""
    d = np.hypot(x, y)
    part *= 1 - 0.50 * np.exp(-((np.hypot(x - 0.012, y - 0.016) / 0.046) ** 4))[..., None]
    bevel = 0.85 - 0.75 * (x + y) / 0.06 * smoothstep(0.018, 0.034, d)
    shine = 0.75 * np.exp(-(((x + 0.016) ** 2 + (y + 0.018) ** 2) / 0.00012))
    mix(
        part,
        (np.clip(bevel, 0.25, 1.9)[..., None] * colour(tint) + shine[..., None]).astype(np.float32),
        smoothstep(0.041, 0.037, d),
    )
    mix(part, colour((0.34, 0.36, 0.38)), smoothstep(0.021, 0.018, d))
    mix(part, colour((0.012, 0.012, 0.014)), smoothstep(0.014, 0.011, d))
