"""One picture of a recording as a PNG file's content."""

import cv2

from annotator.media.picture import Rgb


def png_of(picture: Rgb) -> bytes:
    """The picture without loss as PNG (ISO/IEC 15948), with no word about where it came from."""
    _, data = cv2.imencode(".png", cv2.cvtColor(picture, cv2.COLOR_RGB2BGR))
    return data.tobytes()
