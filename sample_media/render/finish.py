"""From light to the camera's picture: glare, the lens's rim, tone, grain, focus and the caption."""

from dataclasses import dataclass
from functools import cached_property
from math import sin
from typing import TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from annotator.media.pictures.opencv import cv2

from .pixels import Grid, Mask, Picture, colour, smoothstep

Frame: TypeAlias = NDArray[np.uint8]
"""Height x width x 3, red-green-blue, as it is encoded."""

CAPTION = ("MODEL EYE", "INVENTED DEMONSTRATION")

_STEPS = 4096
_BRIGHTEST = 4.0
_GRAIN = 0.00025


def _tone_curve() -> NDArray[np.uint8]:
    """Camera response: soft shoulder, then display gamma 2.2, for light 0 to _BRIGHTEST in _STEPS."""
    x = np.arange(_STEPS) * (_BRIGHTEST / _STEPS)
    shown = (1 - np.exp(-1.75 * x)) ** (1 / 2.2)
    return cast(NDArray[np.uint8], np.clip(shown * 255 + 0.5, 0, 255).astype(np.uint8))


@dataclass
class Camera:
    """Finishes pictures of one size."""

    width: int
    height: int

    @cached_property
    def _curve(self) -> NDArray[np.uint8]:
        return _tone_curve()

    @cached_property
    def _grain(self) -> Picture:
        """A sheet of sensor noise, a little larger than the picture, to be cut at a new place for each frame."""
        rng = np.random.default_rng(5)
        sheet = rng.normal(0, _GRAIN, (self.height + 64, self.width + 64, 3)).astype(np.float32)
        return cast(Picture, cv2.GaussianBlur(sheet, (0, 0), 0.6) * 1.6)

    @cached_property
    def _surround(self) -> Picture:
        """What is seen beside the field: the dark holder of the lens with the faint gleam of its rim."""
        grid = Grid(self.width, self.height, self.height / 2 * 0.975)
        u, v = grid.axes()
        r, angle = np.hypot(u, v), np.arctan2(v, u)
        picture = np.empty((self.height, self.width, 3), np.float32)
        picture[:] = colour((0.0008, 0.0008, 0.0010))
        outside = smoothstep(0.995, 1.005, r)
        leak = outside * np.exp(-(r - 1) / 0.05)
        picture += (0.020 * leak)[..., None] * colour((1.0, 0.42, 0.20))
        rim = np.exp(-(((r - 1.022) / 0.008) ** 2))
        gleam = 0.25 + 0.75 * np.clip(np.cos(angle + 2.3), 0, 1) ** 3 + 0.35 * np.clip(np.cos(angle - 0.7), 0, 1) ** 6
        picture += (0.020 * rim * gleam)[..., None] * colour((0.85, 0.92, 1.0))
        wide = np.exp(-(((r - 1.10) / 0.05) ** 2)) * np.clip(np.cos(angle + 2.6), 0, 1)
        picture += (0.0035 * wide)[..., None] * colour((0.7, 0.85, 1.0))
        return picture

    @cached_property
    def _caption(self) -> tuple[tuple[slice, slice], Mask]:
        """Where the caption stands and how strongly each of its pixels is painted."""
        return _write(self.width, self.height)

    def mount(self, field: Picture) -> Picture:
        """Put a square field into the middle of a full picture, with its glare and the surround."""
        picture = self._surround.copy()
        side = field.shape[0]
        small = cv2.resize(field, (max(side // 8, 2), max(side // 8, 2)), interpolation=cv2.INTER_AREA)
        glare = cv2.GaussianBlur(small, (0, 0), max(side / 8 * 0.035, 0.5))
        field += cv2.resize(glare, (side, side), interpolation=cv2.INTER_LINEAR) * np.float32(0.055)
        left = (self.width - side) // 2
        if left >= 0:
            picture[:, left : left + side] += field
        else:
            picture += field[:, -left : -left + self.width]
        return picture

    def expose(self, picture: Picture, t: float, number: int) -> Frame:
        """Light to the frame that is encoded: grain, tone, a breath of defocus, the caption."""
        x, y = (number * 37) % 64, (number * 53) % 64
        picture += self._grain[y : y + self.height, x : x + self.width]
        steps = np.clip(picture * np.float32(_STEPS / _BRIGHTEST), 0, _STEPS - 1).astype(np.uint16)
        frame = cast(Frame, self._curve[steps])
        blur = self.height / 720 * 0.9 * max(sin(0.55 * t) * sin(0.21 * t + 1.0), 0.0) ** 2
        if blur > 0.3:
            frame = cast(Frame, cv2.GaussianBlur(frame, (0, 0), blur))
        window, ink = self._caption
        part = frame[window].astype(np.float32)
        frame[window] = (part + (np.float32(150) - part) * ink[..., None]).astype(np.uint8)
        return frame


def _write(width: int, height: int) -> tuple[tuple[slice, slice], Mask]:
    """The caption at the lower right, drawn large and averaged down so that its edges are smooth."""
    big, line = 4, max(height // 38, 5)
    scale = line * big / 46
    sheet = np.zeros((line * 3 * big, int(width * 0.28) * big), np.uint8)
    for row, text in enumerate(CAPTION):
        (wide, _), _ = cv2.getTextSize(text, cv2.FONT_HERSHEY_SIMPLEX, scale, 1)
        at = (sheet.shape[1] - wide - line * big, int((1.05 + 1.15 * row) * line * big))
        cv2.putText(sheet, text, at, cv2.FONT_HERSHEY_SIMPLEX, scale, 255, max(int(scale * 2.2), 1), cv2.LINE_AA)
    small = cv2.resize(sheet, (sheet.shape[1] // big, sheet.shape[0] // big), interpolation=cv2.INTER_AREA)
    ink = small.astype(np.float32) * np.float32(0.85 / 255)
    top, left = height - small.shape[0] - height // 90, width - small.shape[1]
    return (slice(top, top + small.shape[0]), slice(left, width)), cast(Mask, ink)
