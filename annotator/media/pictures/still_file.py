"""One picture of a recording as the content of a file, with no word about where it came from."""

from typing import Final

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
