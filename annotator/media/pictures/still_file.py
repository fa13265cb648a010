"""One picture as the content of a file, with no word about where it came from; and one drawn, where none of the
recording's own may stand.
"""

from typing import Final

import numpy as np

from annotator.media.pictures.opencv import cv2
from annotator.media.pictures.picture import Rgb

_QUALITY: Final = 92
"""Of 100."""


def png_of(picture: Rgb) -> bytes:
    """The picture without loss as PNG (ISO/IEC 15948)."""
    return _encoded(".png", picture, [])


def jpeg_of(picture: Rgb) -> bytes:
    """The picture as JPEG (ISO/IEC 10918-1), a tenth of the size and no loss that the eye sees."""
    return _encoded(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, _QUALITY])


def _encoded(ending: str, picture: Rgb, settings: list[int]) -> bytes:
    _, data = cv2.imencode(ending, cv2.cvtColor(picture, cv2.COLOR_RGB2BGR), settings)
    return data.tobytes()


_GROUND: Final = (24, 28, 33)
_SIGN: Final = (110, 121, 133)
_LONGEST: Final = 1_280
"""Pixels along the longer side."""


def play_sign(width: int, height: int) -> Rgb:
    """A dark picture of this shape, with the sign for playing in its middle."""
    scale = min(1.0, _LONGEST / max(width, height))
    width, height = max(round(width * scale), 1), max(round(height * scale), 1)
    picture = np.full((height, width, 3), _GROUND, dtype=np.uint8)
    x, y, radius = width // 2, height // 2, min(width, height) // 8
    line = max(radius // 14, 1)
    cv2.circle(picture, (x, y), radius, _SIGN, line, cv2.LINE_AA)
    corners = [(x - 0.3 * radius, y - 0.48 * radius), (x - 0.3 * radius, y + 0.48 * radius), (x + 0.52 * radius, y)]
    cv2.fillPoly(picture, [np.array(corners).round().astype(np.int32)], _SIGN, cv2.LINE_AA)
    return picture
