"""From a decoded frame to the upright RGB picture that a player shows."""

import struct
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, cos, degrees, radians, sin
from typing import Final, TypeAlias, cast

import av
import numpy as np
from av.sidedata.sidedata import SideDataContainer
from av.sidedata.sidedata import Type as SideDataType
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, Interpolation, VideoReformatter
from numpy.typing import NDArray

from annotator.errors import MediaError
from annotator.media.container.limits import MAX_PIXELS, MAX_SIDE

Rgb: TypeAlias = NDArray[np.uint8]
"""Height × width × 3, 0 to 255, full range."""

_DECLARED: Final = frozenset({1, 4, 5, 6, 7, 9})
"""FFmpeg's AVColorSpace of colours that can be converted as declared; ITU-T H.273, table 4, has the numbers."""

_FIRST_HD_HEIGHT: Final = 720
"""From here on, undeclared colours are taken as ITU-R BT.709, below as BT.601: common practice, no source."""

_MOST_ANAMORPHIC: Final = Fraction(8)
"""No camera or lens squeezes more; common practice, no source."""

_EXACT: Final = Interpolation.BICUBIC | Interpolation.ACCURATE_RND


@dataclass(frozen=True)
class Orientation:
    """How the stored picture is turned to stand upright: first transposed, then mirrored left-right and top-bottom.

    mirrored   whether a player shows it as a mirror would: left and right are exchanged before it is turned
    clockwise  degrees by which a player then turns it: 0, 90, 180 or 270
    asked      degrees by which the file asks to have it turned, 0 to 359
    """

    transposed: bool = False
    mirrored_x: bool = False
    mirrored_y: bool = False
    mirrored: bool = False
    clockwise: int = 0
    asked: int = 0

    @property
    def is_askew(self) -> bool:
        """Whether the file asks for a turn that is none by quarters; players take the nearest of these (measured on
        QMediaPlayer of Qt 6.11), while FFmpeg on its own would turn the picture in its frame and cut off its corners.
        """
        return self.asked != self.clockwise

    @property
    def for_ffmpeg(self) -> dict[str, object]:
        """Options of FFmpeg's input that make it turn the picture as a player does."""
        if not self.is_askew:
            return {}
        flipped: dict[str, object] = {"display_hflip": None} if self.mirrored else {}
        return {"display_rotation": self.clockwise if self.mirrored else -self.clockwise} | flipped

    def upright(self, stored: Rgb) -> Rgb:
        turned = stored.transpose(1, 0, 2) if self.transposed else stored
        if self.mirrored_x:
            turned = turned[:, ::-1]
        if self.mirrored_y:
            turned = turned[::-1]
        return np.ascontiguousarray(turned)


def orientation_of(frame: VideoFrame) -> Orientation:
    """Read from the display matrix that came with the frame (ISO/IEC 14496-12, 6.2.2: x' = ax + cy, y' = bx + dy).

    It mirrors where its determinant is negative.
    """
    a, b, c, d = _display_matrix(frame)
    transposed = abs(b) > abs(a)
    mirrored = a * d - b * c < 0
    angle = degrees(atan2(-b, -a) if mirrored else atan2(b, a))
    return Orientation(
        transposed,
        mirrored_x=(c if transposed else a) < 0,
        mirrored_y=(b if transposed else d) < 0,
        mirrored=mirrored,
        clockwise=round(angle / 90) * 90 % 360,
        asked=round(angle) % 360,
    )


def _display_matrix(frame: VideoFrame) -> tuple[float, float, float, float]:
    try:
        matrix = cast(SideDataContainer, frame.side_data).get(SideDataType.DISPLAYMATRIX)
    except ValueError:
        # PyAV names no frame that carries a kind of side data newer than itself (stereo recordings have one);
        # it still tells the rotation, though not whether the picture is mirrored.
        turned = radians(-frame.rotation)
        return cos(turned), sin(turned), -sin(turned), cos(turned)
    if matrix is None:
        return 1, 0, 0, 1
    a, b, _, c, d = struct.unpack_from("=5i", matrix)
    return a, b, c, d


def display_aspect(width: int, height: int, pixel_aspect: Fraction | None, orientation: Orientation) -> Fraction:
    """Width to height of the picture as a player shows it."""
    stored = Fraction(width, height) * _credible(pixel_aspect)
    return 1 / stored if orientation.transposed else stored


def display_size(width: int, height: int, pixel_aspect: Fraction | None) -> tuple[int, int]:
    """Width and height in square pixels, before rotation; a side only ever grows."""
    aspect = _credible(pixel_aspect)
    wide, high = (round(width * aspect), height) if aspect > 1 else (width, round(height / aspect))
    return (wide, high) if max(wide, high) <= MAX_SIDE and wide * high <= MAX_PIXELS else (width, height)


def _credible(pixel_aspect: Fraction | None) -> Fraction:
    """The pixel's width to its height; square where that is not known or absurd."""
    return pixel_aspect if pixel_aspect and 1 / _MOST_ANAMORPHIC <= pixel_aspect <= _MOST_ANAMORPHIC else Fraction(1)


def guessed_colours(frame: VideoFrame) -> Colorspace | None:
    """How the colours of a frame are to be understood that does not say so itself; None where it does."""
    if frame.format.is_rgb or frame.colorspace in _DECLARED:
        return None
    return Colorspace.ITU709 if frame.height >= _FIRST_HD_HEIGHT else Colorspace.ITU601


class Renderer:
    """Makes upright pictures in square pixels and full-range 8-bit RGB from the frames of one recording.

    pixel_aspect  width of a stored pixel to its height
    width         of the picture to make, in pixels; None keeps the size
    """

    def __init__(self, pixel_aspect: Fraction | None, width: int | None = None) -> None:
        self._pixel_aspect = pixel_aspect
        self._width = width
        self._reformatter = VideoReformatter()
        self._orientation: Orientation | None = None

    def __call__(self, frame: VideoFrame) -> Rgb:
        # The matrix is the recording's; asking every frame would make cycles that keep the frames in memory.
        self._orientation = orientation = self._orientation or orientation_of(frame)
        wide, high = display_size(frame.width, frame.height, self._pixel_aspect)
        if self._width is not None:
            wide, high = _scaled(wide, high, self._width, orientation.transposed)
        return orientation.upright(self._converted(frame, wide, high))

    def _converted(self, frame: VideoFrame, wide: int, high: int) -> Rgb:
        try:
            picture = self._reformatter.reformat(
                frame,
                width=wide,
                height=high,
                format="rgb24",
                src_colorspace=guessed_colours(frame),
                dst_color_range=ColorRange.JPEG,
                interpolation=_EXACT if self._width is None else Interpolation.AREA,
                threads=1,  # for one picture, starting threads takes longer than they save
            )
        except av.error.FFmpegError:
            raise MediaError(
                f"A picture in the form {frame.format.name} cannot be shown; convert it to H.264"
            ) from None
        return cast(Rgb, picture.to_ndarray())


def _scaled(wide: int, high: int, width: int, transposed: bool) -> tuple[int, int]:
    """The stored width and height that make the upright picture `width` pixels wide."""
    if transposed:
        return max(round(Fraction(wide * width, high)), 1), width
    return width, max(round(Fraction(high * width, wide)), 1)
