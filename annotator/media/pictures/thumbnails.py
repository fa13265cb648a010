"""Key frames as small JPEG pictures, so that thousands of them take little memory and can be kept on disk."""

from collections.abc import Generator
from pathlib import Path
from typing import Final, NamedTuple

from annotator.media.pictures.key_frames import key_frames
from annotator.media.pictures.picture import Rgb
from annotator.model.timecode import Ms
from annotator.progress import Progress, silent

WIDTH: Final = 320
"""Pixels: enough for a strip on a dense screen, and for a larger look at one picture."""

_QUALITY: Final = 80
"""Of 100."""


class Thumbnail(NamedTuple):
    """When a key frame is shown, and the upright picture as JPEG, `WIDTH` pixels wide."""

    time: Ms
    jpeg: bytes


def thumbnails(
    path: Path, every: Ms = 0, start: Ms = 0, progress: Progress = silent
) -> Generator[Thumbnail, None, None]:
    """The key frames from `start` on, as `film_strip.key_frames` gives them; may be closed early."""
    for frame in key_frames(path, WIDTH, every, start, progress):
        yield Thumbnail(frame.time, _jpeg(frame.picture))


def _jpeg(picture: Rgb) -> bytes:
    from annotator.media.pictures.opencv import cv2  # only where thumbnails are made: it takes a while to load

    turned = cv2.cvtColor(picture, cv2.COLOR_RGB2BGR)
    _, packed = cv2.imencode(".jpg", turned, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])
    return packed.tobytes()
