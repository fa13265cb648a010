"""The fibrovascular membrane: four fibrous pieces that are cut apart, lifted off and taken by the cutter."""

from dataclasses import dataclass
from functools import cached_property
from math import atan2
from typing import TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from annotator.media.pictures.opencv import cv2

from .. import noise, vessels
from ..pixels import Grid, Mask, Picture, blurred, colour, ease, mix, smoothstep
from .plan import (
    ALONG,
    CUT_TIMES,
    CUTS,
    DYE_FROM,
    DYE_FULL,
    HALF_LENGTH,
    HALF_WIDTH,
    LIFTS,
    MEMBRANE,
    MIDDLES,
    Lift,
    on_membrane,
)
from .visits import grasping

Matrix: TypeAlias = NDArray[np.float64]

_SEED = 61
_REACH = 0.52


@dataclass(frozen=True)
class Membrane:
    """The membrane on a canvas; `lay` paints it as it is at a time of the script."""

    grid: Grid

    @cached_property
    def _window(self) -> tuple[slice, slice]:
        return self.grid.window(MEMBRANE, _REACH).slices

    def _texture(self, number: int, cells: float, octaves: int, fall: float = 0.5) -> Mask:
        """Noise number so-and-so, cut to the window."""
        u, v = self.grid.window(MEMBRANE, _REACH).axes()
        whole = noise.fractal(np.random.default_rng(_SEED + number), max(u.shape[1], v.shape[0]), cells, octaves, fall)
        return whole[: v.shape[0], : u.shape[1]]

    @cached_property
    def _frame(self) -> tuple[Mask, Mask]:
        """Position along (q) and across (p) the membrane, bent by noise so that no edge is straight."""
        u, v = self.grid.window(MEMBRANE, _REACH).axes()
        x, y = u - MEMBRANE[0], v - MEMBRANE[1]
        q = (x * ALONG[0] + y * ALONG[1]) / HALF_LENGTH + 0.42 * (self._texture(0, 9, 4, 0.55) - 0.5)
        p = (y * ALONG[0] - x * ALONG[1]) / HALF_WIDTH + 0.85 * (self._texture(4, 9, 4, 0.55) - 0.5)
        return cast(Mask, q.astype(np.float32)), cast(Mask, p.astype(np.float32))

    @cached_property
    def _cover(self) -> Mask:
        """How opaque the tissue is: dense cords, thin veils between, ragged fringes."""
        q, p = self._frame
        size = max(q.shape)
        cords = noise.ridged(np.random.default_rng(_SEED + 1), size, 10, 3, 0.08)[: q.shape[0], : q.shape[1]]
        veil = self._texture(5, 11, 4)
        spread = np.abs(q) ** 2.4 + np.abs(p) ** 2.0 + 1.3 * (veil - 0.5)
        inside = smoothstep(1.04, 0.80, spread)
        thick = smoothstep(1.0, 0.35, spread)
        body = 0.36 + 0.34 * thick + 0.42 * cords * (0.4 + 0.6 * veil) + 0.5 * (veil - 0.5)
        fringe = 0.20 * smoothstep(1.45, 0.95, spread) * smoothstep(0.35, 0.9, cords)
        return cast(Mask, np.maximum(inside * np.clip(body, 0.12, 0.95), fringe).astype(np.float32))

    @cached_property
    def _paint(self) -> Picture:
        """Pale fibrous tissue with relief and fine new vessels."""
        fibres = self._texture(2, 26, 3, 0.6)
        relief = blurred(self._cover + 0.6 * fibres, self.grid.scale * 0.0045)
        slope = cv2.Sobel(relief, cv2.CV_32F, 1, 1, ksize=3) + cv2.Sobel(relief, cv2.CV_32F, 0, 1, ksize=3)
        light = np.clip(0.86 + 1.15 * slope * (self.grid.scale / 345) + 0.40 * (fibres - 0.5), 0.55, 1.35)
        paint = light[..., None] * colour((1.05, 0.81, 0.65))
        sprouts = np.clip(self._sprouts, 0, 1)
        return cast(Picture, (paint * np.exp(-sprouts[..., None] * colour((0.2, 1.1, 1.2)))).astype(np.float32))

    @cached_property
    def _sprouts(self) -> Mask:
        """New vessels that fan out inside the membrane."""
        rng = np.random.default_rng(_SEED + 3)
        growth = vessels.Growth(rng, steer=0.0)
        across = atan2(ALONG[0], -ALONG[1])
        for q, p in ((-0.75, -0.7), (-0.25, -0.8), (0.22, -0.75), (0.70, -0.65)):
            for turn in (-0.85, -0.3, 0.25, 0.8):
                heading = across + turn + float(rng.normal(0, 0.12))
                growth.branch(on_membrane(q, p), heading, 0.0062, float(rng.uniform(0.12, 0.26)), 2)
        return vessels.thickness(self.grid, growth.found)[self._window]

    @cached_property
    def _piece(self) -> Mask:
        """Number of the piece that each pixel belongs to."""
        q, _ = self._frame
        return cast(Mask, sum((q > cut).astype(np.float32) for cut in CUTS))

    def lay(self, canvas: Picture, t: float) -> None:
        """Paint the membrane over the retina as it is at `t` seconds of the script."""
        if t > LIFTS[-1].gone:
            return
        part = canvas[self._window]
        cover = self._cover * self._uncut(t)
        paint = self._stained(t)
        moving = [lift for lift in LIFTS if lift.grasp <= t < lift.gone]
        away = [lift.piece for lift in LIFTS if t >= lift.grasp]
        still = cover * np.isin(self._piece, away, invert=True)
        shade = blurred(np.roll(still, round(self.grid.scale * 0.008), (0, 1)), self.grid.scale * 0.008)
        part *= 1 - 0.42 * shade[..., None] * colour((0.75, 1.0, 1.0))
        mix(part, paint, still)
        for lift in moving:
            self._lay_lifted(part, paint, cover * (self._piece == lift.piece), lift, t)

    def _uncut(self, t: float) -> Mask:
        """1 where tissue still holds together; each cut opens behind the cutter and gapes a little."""
        q, p = self._frame
        whole = np.ones_like(q)
        for cut, (start, end) in zip(CUTS, CUT_TIMES, strict=True):
            if t <= start:
                continue
            reached = -1.25 + 2.4 * min((t - start) / (end - start), 1.0)
            gape = (0.055 + 0.05 * ease(0.0, 2.5, t - end)) * smoothstep(0.05, -0.35, p - np.float32(reached))
            whole *= 1 - smoothstep(1.0, 0.55, np.abs(q - cut) / np.maximum(gape, 1e-4)) * (gape > 0.002)
        return whole

    def _stained(self, t: float) -> Picture:
        """The tissue's colour with the dye it has taken up, which fades slowly."""
        dye = ease(DYE_FROM, DYE_FULL + 0.4, t) * (0.78 - 0.30 * ease(38, 66, t))
        if dye <= 0:
            return self._paint
        uptake = np.float32(dye) * (1.25 - 0.55 * self._cover)[..., None]
        return cast(Picture, self._paint * (1 - uptake * colour((0.84, 0.52, -0.34))))

    def _lay_lifted(self, part: Picture, paint: Picture, cover: Mask, lift: Lift, t: float) -> None:
        """One piece on its way: it hinges up with the forceps, comes free, and shrinks into the cutter."""
        raised, eaten = ease(lift.grasp, lift.free, t), ease(lift.free, lift.gone, t)
        move = self._move(lift, t, raised, eaten)
        left = 1 - 0.8 * eaten * smoothstep(0.2, 0.8, _grain(cover))
        sheet = np.dstack([paint, cover * left]).astype(np.float32)
        sheet[..., :3] *= sheet[..., 3:]
        size = (part.shape[1], part.shape[0])
        moved = cv2.warpAffine(sheet, move, size, flags=cv2.INTER_LINEAR)
        drop = move.copy()
        drop[:, 2] += np.array([0.006, 0.034]) * self.grid.scale * raised
        shadow = blurred(cast(Mask, cv2.warpAffine(cover, drop, size)), self.grid.scale * (0.006 + 0.010 * raised))
        part *= 1 - (0.60 * raised * (1 - eaten)) * shadow[..., None]
        part *= 1 - moved[..., 3:]
        part += moved[..., :3] * np.float32(1 + 0.30 * raised)

    def _move(self, lift: Lift, t: float, raised: float, eaten: float) -> Matrix:
        """Pixel matrix that keeps the piece's far edge on its bed and its grasped edge in the forceps."""
        tip = grasping(t)
        far = on_membrane(MIDDLES[lift.piece], 0.80)
        loose = 0.45 * raised + 0.30 * eaten
        hinge = (far[0] + (tip.u - far[0]) * loose * eaten, far[1] + (tip.v - far[1]) * loose * eaten)
        rest = np.array(lift.grip) - far
        now = (np.array((tip.u, tip.v)) - hinge) * (1 - 0.55 * eaten) * (1 - 0.30 * raised * (1 - eaten))
        hinge_now = np.array((tip.u, tip.v)) - now
        length = float(np.hypot(*rest))
        frame = np.column_stack([rest, (-rest[1], rest[0])]) / length
        wide = (1 - 0.22 * raised) * (1 - 0.55 * eaten)
        after = np.column_stack([now / length, wide * np.array((-now[1], now[0])) / max(float(np.hypot(*now)), 1e-6)])
        linear = after @ np.linalg.inv(frame)
        rows, columns = self._window
        corner = np.array((columns.start, rows.start))
        fixed, goal = (
            np.array(self.grid.pixel(far)) - corner,
            np.array(self.grid.pixel((float(hinge_now[0]), float(hinge_now[1])))) - corner,
        )
        return np.column_stack([linear, goal - linear @ fixed])


def _grain(cover: Mask) -> Mask:
    """A fixed grain from 0 to 1, taken from the tissue itself, by which it is nibbled away."""
    fine = blurred(cover, 2.0) - cover
    return cast(Mask, (fine - fine.min()) / max(float(np.ptp(fine)), 1e-6))
