"""One frame of the recording: which view is seen, finished by the camera."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from . import plan
from .finish import Camera, Frame
from .inside import Inside
from .outside import Outside
from .pixels import Picture, ease

_CHANGE = 0.30
"""Seconds of script that the change of view takes, before and after its middle."""


@dataclass
class Painter:
    """Draws frames of one size."""

    width: int
    height: int

    @cached_property
    def _camera(self) -> Camera:
        return Camera(self.width, self.height)

    @cached_property
    def _inside(self) -> Inside:
        return Inside(self.height)

    @cached_property
    def _outside(self) -> Outside:
        return Outside(self.width, self.height)

    def frame(self, t: float, number: int) -> Frame:
        """The frame at `t` seconds of the script; `number` varies the grain and what is too fast to see."""
        start, end = plan.INSIDE
        share = min(ease(start - _CHANGE, start + _CHANGE, t), ease(end + _CHANGE, end - _CHANGE, t))
        return self._camera.expose(self._view(t, number, share), t, number)

    def _view(self, t: float, number: int, inside: float) -> Picture:
        if inside <= 0:
            return self._outside.draw(t)
        field = self._camera.mount(self._inside.draw(t, float(number)))
        if inside >= 1:
            return field
        return self._outside.draw(t) * np.float32(1 - inside) + field * np.float32(inside)
