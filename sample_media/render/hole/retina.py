"""The retina with a macular hole: stained, its inner limiting membrane peeled, and a flap turned over the hole."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import cast

import numpy as np

from annotator.media.pictures.opencv import cv2

from .. import fundus, noise
from ..dye import Pour
from ..pixels import Grid, Mask, Picture, Window, blurred, colour, ease, mix, smoothstep
from ..vessels import DISC, Pattern
from . import plan
from .plan import FLAP, HOLE, TAKEN, Piece, Taken

_GRAIN = 47
_STAINED = 0.215
_WIDE = 0.088
"""Half the width of a folded sheet at its crease; toward its free edge it is round."""

# fmt: off
LOOK = fundus.Look(
    Pattern(
        101,
        (
            (0.0165, ((-0.240, -0.03), (-0.235, -0.14), (-0.15, -0.28), (0.06, -0.37), (0.36, -0.40), (0.70, -0.47),
              (1.1, -0.52))),
            (0.0170, ((-0.240, -0.005), (-0.220, 0.11), (-0.12, 0.30), (0.10, 0.43), (0.36, 0.52), (0.62, 0.68),
              (0.92, 1.02))),
            (0.0150, ((-0.262, -0.03), (-0.33, -0.11), (-0.50, -0.22), (-0.70, -0.36), (-1.10, -0.56))),
            (0.0140, ((-0.262, -0.005), (-0.32, 0.10), (-0.42, 0.28), (-0.50, 0.52), (-0.56, 0.84), (-0.52, 1.15))),
        ),
        (
            (0.0240, ((-0.248, -0.03), (-0.27, -0.14), (-0.19, -0.33), (0.02, -0.47), (0.30, -0.60), (0.52, -0.78),
              (0.72, -1.06))),
            (0.0235, ((-0.248, -0.005), (-0.25, 0.10), (-0.18, 0.27), (0.05, 0.39), (0.38, 0.44), (0.72, 0.50),
              (1.14, 0.62))),
            (0.0190, ((-0.27, -0.025), (-0.34, -0.13), (-0.46, -0.32), (-0.56, -0.58), (-0.66, -1.08))),
            (0.0185, ((-0.27, -0.01), (-0.36, 0.05), (-0.56, 0.10), (-0.80, 0.20), (-1.14, 0.30))),
        ),
    ),
    tone=(0.86, 0.80, 0.74),
    foveola=False,
)
# fmt: on


@dataclass
class Retina:
    """Paints the retina's own colour on a canvas for any time; what changes seldom is kept between frames."""

    grid: Grid
    _ground: Picture | None = field(default=None, init=False)
    _flat: int = field(default=-1, init=False)
    _sheets: dict[int, Mask] = field(default_factory=dict, init=False)

    @cached_property
    def _fundus(self) -> fundus.Fundus:
        return fundus.draw(self.grid, LOOK)

    @cached_property
    def _pour(self) -> Pour:
        times = (plan.DYE_FROM, plan.DYE_FULL, plan.DYE_CLEARING, plan.DYE_CLEAR)
        return Pour(self.grid, (HOLE[0] + 0.02, HOLE[1]), 0.22, times, _GRAIN)

    @cached_property
    def _window(self) -> Window:
        return self.grid.window(HOLE, 0.34)

    @cached_property
    def _place(self) -> tuple[Mask, Mask]:
        """Position from the hole's middle, for all pixels of the window."""
        u, v = self._window.axes()
        return cast(Mask, u - HOLE[0] + 0 * v), cast(Mask, v - HOLE[1] + 0 * u)

    def _noise(self, number: int, cells: float, octaves: int) -> Mask:
        """Noise number so-and-so, cut to the window."""
        if number not in self._sheets:
            x, _ = self._place
            sheet = noise.fractal(np.random.default_rng(_GRAIN + number), max(x.shape), cells, octaves, 0.55)
            self._sheets[number] = sheet[: x.shape[0], : x.shape[1]]
        return self._sheets[number]

    def _standing(self, t: float) -> Picture:
        """The retina with its hole, which only the air changes."""
        flat = round(48 * ease(*plan.AIR, t))
        if self._ground is None or flat != self._flat:
            self._ground, self._flat = self._fundus.flat.copy(), flat
            self._draw_hole(self._ground[self._window.slices], flat / 48)
        return self._ground

    def at(self, t: float) -> Picture:
        """A fresh canvas with all that lies on the retina at `t` seconds of the script."""
        canvas = self._standing(t).copy()
        part = canvas[self._window.slices]
        dye = ease(plan.DYE_FROM, plan.DYE_FULL + 0.4, t) * (1 - 0.35 * ease(50, 60, t))
        if dye > 0:
            self._lie(part, dye, t)
            for piece in TAKEN:
                if piece.grasp <= t < piece.gone:
                    self._fold(part, piece, t)
            if t >= FLAP.grasp:
                self._fold(part, FLAP, t)
        self._pour.lay(canvas, t)
        return canvas

    def _draw_hole(self, part: Picture, flattened: float) -> None:
        """Bare pigment epithelium in a round hole, its edge raised in a grey cuff of fluid, which air flattens."""
        x, y = self._place
        angle = np.arctan2(y, x)
        ragged = 1 + 0.035 * np.sin(2 * angle + 0.6) + 0.02 * np.sin(5 * angle)
        d = np.hypot(x, y * 1.04) / ragged
        inner, outer = plan.HOLE_RADIUS * (1 - 0.10 * flattened), plan.CUFF_RADIUS
        flat = np.float32(1 - 0.55 * flattened)
        cuff = smoothstep(outer * 1.08, outer * 0.86, d)
        mix(part, colour((0.46, 0.245, 0.135)), 0.62 * flat * cuff)
        part *= 1 - (0.30 * flat * np.exp(-(((d - outer) / 0.005) ** 2)))[..., None]
        facing = 0.5 + 0.5 * np.cos(angle + 2.3)
        part += (0.10 * flat * np.exp(-(((d - 0.80 * outer) / 0.006) ** 2)) * facing**2)[..., None] * colour(
            (1.0, 0.82, 0.60)
        )
        mix(part, colour((0.30, 0.040, 0.014)), 0.94 * smoothstep(inner * 1.05, inner * 0.92, d))
        part += (0.16 * np.exp(-(((d - inner * 1.10) / 0.0026) ** 2)) * (0.35 + facing))[..., None] * colour(
            (1.0, 0.80, 0.58)
        )
        for u, v in ((0.006, 0.004), (-0.008, 0.002), (0.001, -0.009), (-0.003, 0.010), (0.010, -0.006)):
            dot = np.exp(-(((x - u) ** 2 + (y - v) ** 2) / 0.0016**2))
            mix(part, colour((0.80, 0.50, 0.16)), (0.75 * dot).astype(np.float32))

    @cached_property
    def _membrane(self) -> Mask:
        """How deeply the inner limiting membrane takes the dye: about the macula, not in the hole nor on the disc."""
        x, y = self._place
        d = np.hypot(x, y)
        rim = smoothstep(plan.HOLE_RADIUS * 1.04, plan.HOLE_RADIUS * 1.16, d)
        spread = d / _STAINED + 0.55 * (self._noise(0, 6, 3) - 0.5)
        off_disc = smoothstep(0.080, 0.100, np.hypot(x + HOLE[0] - DISC[0], y + HOLE[1] - DISC[1]))
        depth = 0.74 + 0.55 * (self._noise(1, 9, 3) - 0.5)
        return cast(Mask, (rim * smoothstep(1.06, 0.78, spread) * off_disc * depth).astype(np.float32))

    @cached_property
    def _pieces(self) -> dict[Piece, Mask]:
        """The pieces that will be folded, their edges torn unevenly, 1 where they are."""
        x, y = self._place
        wave = (self._noise(2, 12, 4) - 0.5) * 0.20
        d = np.hypot(x, y) * (1 + 0.8 * wave + 0.34 * (self._noise(4, 6, 3) - 0.5))
        ring = smoothstep(plan.PEELED * 1.015, plan.PEELED * 0.985, d)
        ring *= smoothstep(plan.HOLE_RADIUS * 1.04, plan.HOLE_RADIUS * 1.10, np.hypot(x, y))
        angle = np.degrees(np.arctan2(y, x)) + 40 * wave
        found: dict[Piece, Mask] = {}
        for piece in (*TAKEN, FLAP):
            off = np.abs((angle - piece.turn + 180) % 360 - 180)
            found[piece] = cast(Mask, (ring * smoothstep(piece.half + 1.0, piece.half - 1.0, off)).astype(np.float32))
        return found

    def _ahead(self, piece: Piece, t: float) -> Mask:
        """Signed distance of each pixel ahead of the fold."""
        (x, y), (along_x, along_y) = self._place, piece.along
        return cast(Mask, (x * along_x + y * along_y - np.float32(piece.fold(t))).astype(np.float32))

    def _lie(self, part: Picture, dye: float, t: float) -> None:
        """What of the stained membrane still lies on the retina, with the pale line of its torn edge."""
        left = np.ones_like(self._membrane)
        pixel = 1 / self.grid.scale
        for piece, mask in self._pieces.items():
            if t >= piece.grasp:
                left *= 1 - mask * smoothstep(pixel, -pixel, self._ahead(piece, t))
        lies = self._membrane * left
        mix(part, colour((0.095, 0.165, 0.430)), np.float32(0.56 * dye) * lies)
        bare = blurred(1 - left, self.grid.scale * 0.0035)
        edge = np.clip(4 * left * bare, 0, 1) * np.minimum(self._membrane * 2, 1)
        edge *= smoothstep(0.30, 0.62, self._noise(5, 9, 3))
        part += (np.float32(0.16) * edge)[..., None] * colour((0.55, 0.72, 1.0))

    def _fold(self, part: Picture, piece: Piece, t: float) -> None:
        """The part of a piece that is folded over, from its crease to the edge in the forceps, and its shadow."""
        x, y = self._place
        (along_x, along_y), fold, laid = piece.along, piece.fold(t), piece.laid(t)
        length = max(fold - piece.first, 1e-4)
        carried = ease(piece.free, piece.gone, t) if isinstance(piece, Taken) else 0.0
        if isinstance(piece, Taken):
            (u, v), (edge_u, edge_v) = piece.tip(t), piece.edge(t)
            x, y = x - np.float32(u - edge_u), y - np.float32(v - edge_v)
        ahead = (x * along_x + y * along_y - fold) / (1 - 0.5 * carried) - laid * length * carried
        across = y * along_x - x * along_y - piece.grip
        share = np.clip(ahead / (laid * length), 0, 1).astype(np.float32)
        flat = ease(0.5, 1.0, laid)
        across = (piece.grip + across / ((1 - 0.55 * (1 - flat) * share) * (1 - 0.6 * carried))).astype(np.float32)
        uneven = (self._noise(6, 13, 3) - 0.5) * np.float32(0.016)
        back = (fold - ahead / laid + uneven * share).astype(np.float32)
        from_x, from_y = back * along_x - across * along_y, back * along_y + across * along_x
        cover = self._taken_from(piece, from_x.astype(np.float32), from_y.astype(np.float32))
        rounded = np.hypot((back - piece.last) / (piece.first - piece.last), (across - piece.grip + uneven) / _WIDE)
        cover *= smoothstep(1.04, 0.98, rounded) * (ahead > 0) * np.float32(1 - carried)
        self._paint(part, cover, share, 1 - flat)

    def _taken_from(self, piece: Piece, x: Mask, y: Mask) -> Mask:
        """The piece's cover looked up at other positions from the hole's middle."""
        left, top = self.grid.pixel(HOLE)
        px = x * self.grid.scale + np.float32(left - self._window.left)
        py = y * self.grid.scale + np.float32(top - self._window.top)
        return cast(Mask, cv2.remap(self._pieces[piece], px, py, cv2.INTER_LINEAR))

    def _paint(self, part: Picture, cover: Mask, share: Mask, raised: float) -> None:
        """A thin blue sheet with wrinkles, its crease and edge catching the light."""
        step = round(self.grid.scale * (0.003 + 0.006 * raised))
        shade = blurred(np.roll(cover, (step, step), (0, 1)), self.grid.scale * (0.002 + 0.004 * raised))
        part *= 1 - (0.45 * shade * (1 - cover))[..., None]
        wrinkles = self._noise(3, 34, 2) - 0.5
        light = 1 + 0.75 * wrinkles + 0.35 * np.exp(-((share / 0.10) ** 2))
        sheet = light[..., None] * colour((0.17, 0.275, 0.60))
        mix(part, sheet.astype(np.float32), 0.74 * cover)
        inner = blurred(1 - cover, self.grid.scale * 0.0022)
        edge = np.clip(3 * cover * inner, 0, 1)
        part += (np.float32(0.20) * edge)[..., None] * colour((0.65, 0.80, 1.0))
