"""The retina as it changes: detached and flattened, stained, bleeding, torn and lasered."""

from dataclasses import dataclass, field
from functools import cached_property
from typing import cast

import numpy as np

from .. import fundus, noise
from ..dye import Pour
from ..pixels import Grid, Mask, Picture, Window, blurred, colour, ease, mix, smoothstep
from ..vessels import ARTERIES, VEINS, Pattern
from . import plan
from .membrane import Membrane

_SEED = 33

LOOK = fundus.Look(Pattern(29, ARTERIES, VEINS))
"""With a tree chosen among a few for small vessels that reach the macula from above and below."""


@dataclass
class Retina:
    """Paints the retina's own colour on a canvas for any time; slow changes are kept between frames."""

    grid: Grid
    _ground: Picture | None = field(default=None, init=False)
    _state: tuple[int, int, int] = field(default=(-1, -1, -1), init=False)

    @cached_property
    def _fundus(self) -> fundus.Fundus:
        return fundus.draw(self.grid, LOOK)

    @cached_property
    def _membrane(self) -> Membrane:
        return Membrane(self.grid)

    def at(self, t: float) -> Picture:
        """A fresh canvas with all that lies on the retina at `t` seconds of the script."""
        canvas = self._standing(t).copy()
        self._coagulum(canvas, t)
        self._membrane.lay(canvas, t)
        self._pour.lay(canvas, t)
        self._blood(canvas, t)
        return canvas

    def _standing(self, t: float) -> Picture:
        """The retina with what changes only now and then: its detachment, the break, the burns so far."""
        raised = 1 - 0.25 * ease(50, 66, t) - 0.75 * ease(*plan.FLATTENS, t)
        torn = ease(plan.BREAK_AT - 0.2, plan.BREAK_AT + 0.5, t)
        burns = sum(t >= start for start, _ in plan.BURNS)
        state = (round(raised * 48), round(torn * 8), burns)
        if self._ground is None or state != self._state:
            self._ground = self._draw_standing(state[0] / 48, state[1] / 8, burns)
            self._state = state
        return self._ground

    def _draw_standing(self, raised: float, torn: float, burns: int) -> Picture:
        picture = self._fundus.flat.copy()
        if raised > 0:
            window, look, mask = self._detached
            mix(picture[window.slices], look, mask * np.float32(raised))
        if torn > 0:
            self._break(picture, torn)
        for i in range(burns):
            self._burn(picture, plan.BURNS[i][1], i)
        return picture

    @cached_property
    def _detached(self) -> tuple[Window, Picture, Mask]:
        """The raised retina about the membrane: grey, less see-through, drawn into folds by the pull."""
        window = self.grid.window((0.36, 0.50), 0.66)
        u, v = window.axes()
        x, y = u - plan.MEMBRANE[0], v - plan.MEMBRANE[1]
        rng = np.random.default_rng(_SEED)
        along = x * plan.ALONG[0] + y * plan.ALONG[1]
        across = y * plan.ALONG[0] - x * plan.ALONG[1]
        size = max(x.shape[1], y.shape[0])
        edge = noise.fractal(rng, size, 5, 2)[: y.shape[0], : x.shape[1]] - 0.5
        spread = np.hypot(along / 0.56, across / 0.40) + 0.34 * edge
        mask = smoothstep(1.0, 0.72, spread)
        folds = noise.polar(rng, along, (across * 1.5).astype(np.float32), 96, 4) - 0.5
        ripple = folds * smoothstep(0.22, 0.45, np.hypot(along, across * 1.5)) * mask
        shade = (
            1
            + 0.95 * ripple
            + 0.16 * np.exp(-(((spread - 0.80) / 0.07) ** 2))
            - 0.30 * np.exp(-(((spread - 0.97) / 0.06) ** 2))
        )
        vessels = self._fundus.through_vessels[window.slices] ** 1.25
        look = self._fundus.flat[window.slices] * 0.45 + colour((0.54, 0.265, 0.150)) * vessels * 0.55
        return window, cast(Picture, (look * shade[..., None]).astype(np.float32)), mask

    def _break(self, picture: Picture, torn: float) -> None:
        """A small horseshoe tear: bare choroid shows red, the flap and rim are pale."""
        window = self.grid.window(plan.BREAK, 0.12)
        u, v = window.axes()
        x, y = u - plan.BREAK[0], v - plan.BREAK[1]
        angle = np.arctan2(y, x)
        ragged = 1 + 0.10 * np.sin(3 * angle + 1) + 0.06 * np.sin(7 * angle)
        d = np.hypot(x / 0.036, (y - 0.004) / 0.028) / (ragged * max(torn, 0.2))
        part = picture[window.slices]
        mix(part, colour((0.70, 0.40, 0.24)), 0.50 * smoothstep(1.7, 1.0, d))
        mix(part, colour((0.36, 0.040, 0.016)), 0.95 * smoothstep(1.06, 0.86, d))
        part += (0.10 * np.exp(-(((d - 1.08) / 0.10) ** 2)))[..., None] * colour((1.0, 0.8, 0.6))
        flap = smoothstep(1.05, 0.80, np.hypot(x / (0.020 - 0.35 * (y + 0.02)), (y + 0.012) / 0.021))
        mix(part, colour((0.66, 0.40, 0.25)), 0.92 * flap * np.float32(torn))

    def _burn(self, picture: Picture, spot: tuple[float, float], number: int) -> None:
        """One laser spot: a creamy centre in a soft grey halo, no two quite alike."""
        radius = 0.0118 * (1 + 0.22 * np.sin(number * 2.7))
        window = self.grid.window(spot, 0.05)
        u, v = window.axes()
        d = np.hypot(u - spot[0], v - spot[1]) / np.float32(radius)
        part = picture[window.slices]
        mix(part, colour((0.66, 0.40, 0.23)), 0.40 * np.exp(-((d / 1.6) ** 2)))
        mix(
            part, colour((0.86, 0.68, 0.46)), np.float32(0.62 + 0.20 * np.cos(number * 1.9)) * smoothstep(1.35, 0.25, d)
        )

    def _coagulum(self, canvas: Picture, t: float) -> None:
        """The whitish spot that diathermy leaves."""
        strength = ease(57.3, 58.6, t)
        if strength <= 0:
            return
        window = self.grid.window(plan.BLEED, 0.06)
        u, v = window.axes()
        d = np.hypot(u - plan.BLEED[0], (v - plan.BLEED[1]) * 1.2)
        mix(canvas[window.slices], colour((0.80, 0.70, 0.54)), np.float32(0.8 * strength) * smoothstep(0.026, 0.010, d))

    @cached_property
    def _pour(self) -> Pour:
        times = (plan.DYE_FROM, plan.DYE_FULL, plan.DYE_CLEARING, plan.DYE_CLEAR)
        return Pour(self.grid, (0.33, 0.47), 0.50, times, _SEED + 1)

    @cached_property
    def _pool(self) -> tuple[Window, Mask]:
        """In what order blood covers the retina about its source, 0 first: a pool and a run along the vessel."""
        window = self.grid.window(plan.BLEED, 0.36)
        u, v = window.axes()
        x, y = u - plan.BLEED[0], v - plan.BLEED[1]
        rng = np.random.default_rng(_SEED + 2)
        size = max(u.shape[1], v.shape[0])
        wave = noise.fractal(rng, size, 11, 4, 0.6)[: v.shape[0], : u.shape[1]] - 0.5
        pool = np.hypot(x / 1.3, y)
        run = np.hypot(np.maximum(0, np.abs(x - 0.11) - 0.11) * 2, (y - 0.05 - 0.5 * x) * 3.2) + 0.05
        return window, cast(Mask, (np.minimum(pool, run) + 0.14 * wave).astype(np.float32))

    def _blood(self, canvas: Picture, t: float) -> None:
        """Blood that wells up, spreads, and is aspirated until none is left."""
        level = 0.20 * ease(plan.BLEED_FROM, plan.BLEED_FULL, t) ** 0.8 - 0.24 * ease(
            plan.BLEED_CLEARING, plan.BLEED_CLEAR, t
        )
        if t < plan.BLEED_FROM or t > plan.BLEED_CLEAR or level < -0.04:
            return
        window, order = self._pool
        depth = np.clip(np.float32(level) - order, 0, 0.2) * 13
        part = canvas[window.slices]
        edge = blurred(depth, self.grid.scale * 0.003)
        part *= np.exp(-edge[..., None] * colour((0.55, 2.6, 2.9)))
        part += (0.018 * smoothstep(0.1, 0.8, edge))[..., None] * colour((1.0, 0.05, 0.03))
