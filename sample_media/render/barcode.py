"""A frame's number drawn along the bottom edge, so that a test can read from the pixels which frame it sees.

The strip holds 32 equal cells: four that alternate white and black to find the levels, twenty bits of the
number, most significant first, and eight bits of check sum.
"""

from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Bytes: TypeAlias = NDArray[np.uint8]

NUMBERS = 1 << 20
"""Numbers are counted modulo this: over four hours at 60 frames a second."""

_CELLS = 32
_WHITE, _BLACK = 235, 16


def strip_height(height: int) -> int:
    """Pixels of a picture of this height that the strip takes."""
    return max(height // 30, 6)


def draw(frame: Bytes, number: int) -> None:
    """Draw a number over the bottom of a picture (height x width x 3, or x width), in place."""
    height, width = frame.shape[:2]
    edges = _edges(width)
    strip = frame[height - strip_height(height) :]
    for bit, left, right in zip(_bits(number % NUMBERS), edges, edges[1:], strict=False):
        strip[:, left:right] = _WHITE if bit else _BLACK


def read_frame_number(image: Bytes) -> int:
    """The number drawn on a picture (height x width, or x 3 in any order of colours), also when it was scaled.

    Raises ValueError where no number can be read: the levels are not told apart, or the check sum is wrong.
    """
    height, width = image.shape[:2]
    tall = strip_height(height)
    strip = image[height - tall + tall // 4 : height - tall // 4].astype(np.float32)
    line = strip.reshape(strip.shape[0], width, -1).mean(axis=(0, 2))
    edges = _edges(width)
    cells = [
        float(line[a + (b - a) // 4 : max(b - (b - a) // 4, a + (b - a) // 4 + 1)].mean()) for a, b in pairwise(edges)
    ]
    white, black = (cells[0] + cells[2]) / 2, (cells[1] + cells[3]) / 2
    if white - black < 60:
        raise ValueError("no frame number is drawn on this picture")
    bits = [cell > (white + black) / 2 for cell in cells]
    number = int("".join("1" if bit else "0" for bit in bits[4:24]), 2)
    if bits != _bits(number):
        raise ValueError("the frame number on this picture cannot be read for sure")
    return number


def _edges(width: int) -> list[int]:
    return [width * cell // _CELLS for cell in range(_CELLS + 1)]


def _bits(number: int) -> list[bool]:
    check = _check_sum(number)
    return [
        True,
        False,
        True,
        False,
        *(bool(number >> i & 1) for i in range(19, -1, -1)),
        *(bool(check >> i & 1) for i in range(7, -1, -1)),
    ]


def _check_sum(number: int) -> int:
    """CRC-8 with polynomial x^8+x^2+x+1 over the number's three bytes, started at 0x5A so that 0 has one too."""
    crc = 0x5A
    for byte in number.to_bytes(3, "big"):
        crc ^= byte
        for _ in range(8):
            crc = (crc << 1 ^ 0x07) & 0xFF if crc & 0x80 else crc << 1
    return crc
