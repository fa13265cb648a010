"""Picture types and the few arithmetic helpers that all drawing shares.

Pictures are linear light, float32, red-green-blue; masks are float32 from 0 to 1. Positions are given in
field units: the centre of the round field is (0, 0), its edge has radius 1, u runs right and v down.
"""

from dataclasses import dataclass
from typing import TypeAlias, cast

import numpy as np
from numpy.typing import NDArray

from annotator.media.pictures.opencv import cv2

Picture: TypeAlias = NDArray[np.float32]
"""Height x width x 3, linear light."""

Mask: TypeAlias = NDArray[np.float32]
"""Height x width, 0 to 1."""

Colour: TypeAlias = tuple[float, float, float]
Point: TypeAlias = tuple[float, float]


def smoothstep(low: float, high: float, x: Mask) -> Mask:
    """0 below `low`, 1 above `high`, with level ends; `low` may be above `high` for a falling step."""
    t = np.clip((x - np.float32(low)) / np.float32(high - low), 0, 1)
    return cast(Mask, t * t * (3 - 2 * t))


def ease(low: float, high: float, t: float) -> float:
    """smoothstep of one number, as used for times."""
    x = min(max((t - low) / (high - low), 0.0), 1.0)
    return x * x * (3 - 2 * x)


def colour(rgb: Colour) -> Picture:
    """One colour in the shape that broadcasts over a picture."""
    return np.array(rgb, np.float32)


def mix(picture: Picture, paint: Picture, mask: Mask) -> None:
    """Lay `paint` (a colour or a picture) over `picture` in place, where `mask` says so."""
    picture += (paint - picture) * mask[..., None]


def blurred(mask: Mask, sigma: float) -> Mask:
    """Gaussian blur; `sigma` in pixels, nothing happens below a fifth of a pixel."""
    return mask if sigma < 0.2 else cast(Mask, cv2.GaussianBlur(mask, (0, 0), sigma))


@dataclass(frozen=True)
class Grid:
    """A canvas with the field position `middle` in its middle and `scale` pixels per field unit."""

    width: int
    height: int
    scale: float
    middle: Point = (0.0, 0.0)

    @classmethod
    def square(cls, size: int, reach: float) -> "Grid":
        """A canvas of `size` pixels each way that shows the field from -reach to +reach."""
        return cls(size, size, size / (2 * reach))

    @property
    def shape(self) -> tuple[int, int]:
        return self.height, self.width

    def pixel(self, at: Point) -> Point:
        """Pixel coordinates (x, y) of a field position, pixel centres at whole numbers."""
        u, v = at[0] - self.middle[0], at[1] - self.middle[1]
        return u * self.scale + (self.width - 1) / 2, v * self.scale + (self.height - 1) / 2

    def axes(self) -> tuple[Mask, Mask]:
        """u as a row and v as a column, ready to broadcast."""
        across = (np.arange(self.width, dtype=np.float32) - (self.width - 1) / 2) / self.scale
        down = (np.arange(self.height, dtype=np.float32) - (self.height - 1) / 2) / self.scale
        across, down = across + np.float32(self.middle[0]), down + np.float32(self.middle[1])
        return across.astype(np.float32)[None, :], down.astype(np.float32)[:, None]

    def window(self, centre: Point, radius: float) -> "Window":
        """The part of the canvas within `radius` of `centre` along both axes, cut at the canvas's edge."""
        x, y = self.pixel(centre)
        r = radius * self.scale
        left, top = max(int(x - r), 0), max(int(y - r), 0)
        right, bottom = min(int(x + r) + 2, self.width), min(int(y + r) + 2, self.height)
        return Window(self, left, top, max(right, left), max(bottom, top))


@dataclass(frozen=True)
class Window:
    """A rectangle of a grid in pixels, right and bottom excluded."""

    grid: Grid
    left: int
    top: int
    right: int
    bottom: int

    @property
    def slices(self) -> tuple[slice, slice]:
        return slice(self.top, self.bottom), slice(self.left, self.right)

    @property
    def is_empty(self) -> bool:
        return self.right <= self.left or self.bottom <= self.top

    def axes(self) -> tuple[Mask, Mask]:
        """Field coordinates of the window's pixels, as a row and a column."""
        u, v = self.grid.axes()
        return u[:, self.left : self.right], v[self.top : self.bottom]
