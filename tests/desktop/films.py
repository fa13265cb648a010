"""Recordings whose frames carry their own number as a bar code, and the reader that gets it back from pixels.

The number is drawn into raw pictures here, encoded by FFmpeg, and read from what the window paints, so that
nothing of the program's own reckoning of time lies between.
"""

import subprocess
from collections.abc import Callable, Iterable
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from PySide6.QtCore import QRect
from PySide6.QtGui import QImage

WIDTH, HEIGHT, BITS = 320, 180, 10
BAR = WIDTH // BITS


def numbered(number: int) -> bytes:
    """One grey picture, its upper half bars: white for each bit of the number that is set."""
    picture = np.full((HEIGHT, WIDTH), 60, dtype=np.uint8)
    for bit in range(BITS):
        picture[: HEIGHT // 2, bit * BAR : (bit + 1) * BAR] = 235 if number >> bit & 1 else 16
    picture[HEIGHT // 2 :, :: max(number % 7 + 2, 2)] = 140
    return picture.tobytes()


def film(path: Path, frames: int, rate: str, *args: str, sound: bool = False) -> Path:
    """A recording of `frames` numbered pictures, `rate` a second as FFmpeg writes it, with further FFmpeg arguments."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y"]
    command += ["-f", "rawvideo", "-pix_fmt", "gray", "-s", f"{WIDTH}x{HEIGHT}", "-r", rate, "-i", "pipe:"]
    if sound:
        command += ["-f", "lavfi", "-i", "sine=frequency=330", "-shortest", "-c:a", "aac"]
    command += ["-c:v", "libx264", "-preset", "superfast", "-pix_fmt", "yuv420p", "-crf", "20", *args, str(path)]
    pictures = b"".join(numbered(number) for number in range(frames))
    subprocess.run(command, input=pictures, check=True)
    return path


def kept(frames: int, keep: Callable[[int], bool]) -> list[int]:
    return [number for number in range(frames) if keep(number)]


def read_number(image: QImage, area: QRect) -> int:
    """The number in a picture that stands in `area` of an image."""
    number = 0
    for bit in range(BITS):
        x = area.left() + round((bit + 0.5) * area.width() / BITS)
        y = area.top() + area.height() // 4
        number |= (image.pixelColor(x, y).lightness() > 128) << bit
    return number


def exact_ms(numbers: Iterable[int], numerator: int, denominator: int) -> list[int]:
    """Ceiling in ms of number * denominator / numerator seconds, in whole numbers."""
    return [-(-number * denominator * 1000 // numerator) for number in numbers]
