"""Blue dye that wells out of a cannula, lies on the retina for a moment, and is washed away."""

from dataclasses import dataclass
from functools import cached_property
from typing import cast

import numpy as np

from . import noise
from .pixels import Grid, Mask, Picture, Point, Window, colour, ease, mix, smoothstep


@dataclass(frozen=True)
class Pour:
    """Dye poured at a point.

    reach  how far it spreads, in field units
    times  when it begins to flow, lies in full, begins to be drawn off, and is gone
    """

    grid: Grid
    at: Point
    reach: float
    times: tuple[float, float, float, float]
    grain: int

    @cached_property
    def _spread(self) -> tuple[Window, Mask]:
        """In what order the dye wets the retina around its point, 0 first."""
        window = self.grid.window((self.at[0] + 0.01, self.at[1] + 0.01), 1.44 * self.reach)
        u, v = window.axes()
        size = max(u.shape[1], v.shape[0])
        wave = noise.fractal(np.random.default_rng(self.grain), size, 7, 4)[: v.shape[0], : u.shape[1]]
        d = np.hypot((u - self.at[0]) / 1.15, v - self.at[1])
        return window, cast(Mask, (d / (2 * self.reach) + 0.36 * (wave - 0.5)).astype(np.float32))

    def lay(self, canvas: Picture, t: float) -> None:
        """Paint the dye as it lies at `t` seconds of the script."""
        begins, full, clearing, clear = self.times
        poured, washed = ease(begins, full, t), ease(clearing, clear, t)
        if poured <= 0 or washed >= 1:
            return
        window, order = self._spread
        reach = np.float32(0.50 * poured**0.7)
        cloud = smoothstep(0.0, 0.10, reach - order) * smoothstep(-0.3, 0.2, order - np.float32(washed * 0.75 - 0.28))
        depth = cloud * (0.35 + 0.65 * smoothstep(0.45, 0.0, order))
        mix(canvas[window.slices], colour((0.020, 0.085, 0.36)), np.float32(0.90 * (1 - washed * 0.6)) * depth)
