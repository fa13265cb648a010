"""One frame of the recording: which view is seen, finished by the camera."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .finish import Camera, Frame
from .inside import Inside
from .outside import Outside
from .pixels import Picture, ease
from .stage import Lens, Stage

_CHANGE = 0.30
"""Seconds of script that the change of view takes, before and after its middle."""


@dataclass
class Painter:
    """Draws frames of one operation at one size."""

    stage: Stage
    width: int
    height: int

    @cached_property
    def _camera(self) -> Camera:
        return Camera(self.width, self.height)

    @cached_property
    def _inside(self) -> dict[Lens, Inside]:
        return {scene.lens: Inside(self.height, self.stage, scene.lens) for scene in self.stage.scenes if scene.lens}

    @cached_property
    def _outside(self) -> Outside:
        return Outside(self.width, self.height, self.stage)

    def frame(self, t: float, number: int) -> Frame:
        """The frame at `t` seconds of the script; `number` varies the grain and what is too fast to see."""
        picture = self._view(t, number)
        if self.stage.mirrored:
            picture = np.ascontiguousarray(picture[::-1])
        return self._camera.expose(picture, t, number)

    def _view(self, t: float, number: int) -> Picture:
        """What is seen at `t`; while the view changes, both."""
        before, now, share = None, self.stage.scenes[0], 1.0
        for scene in self.stage.scenes[1:]:
            if t > scene.start - _CHANGE:
                before, now, share = now, scene, ease(scene.start - _CHANGE, scene.start + _CHANGE, t)
        if before is None or share >= 1:
            return self._through(now.lens, t, number)
        first, second = self._through(before.lens, t, number), self._through(now.lens, t, number)
        return first * np.float32(1 - share) + second * np.float32(share)

    def _through(self, lens: Lens | None, t: float, number: int) -> Picture:
        if lens is None:
            return self._outside.draw(t)
        return self._camera.mount(self._inside[lens].draw(t, float(number)))
