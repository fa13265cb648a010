"""How loud a recording is along its time, for drawing it."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from pathlib import Path
from typing import Final, TypeAlias

import av
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import InputContainer
from numpy.typing import NDArray

from annotator.media.container.clock import zero_of
from annotator.media.container.opening import exact, opened, picture_stream, preferred, ticks
from annotator.model.timecode import HOUR, SECOND, Ms
from annotator.progress import Progress, silent

EVERY: Final[Ms] = 10
"""How long a stretch each peak stands for."""

_MOST: Final = 100 * HOUR // EVERY
"""Peaks that are kept; a stamp farther on is a fault, and must not cost memory."""

_REPORTS_EVERY: Final = 64
"""Packets between two reports of progress."""

_Samples: TypeAlias = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Peaks:
    """`levels[i]` is the loudest sample from `i * EVERY` up to `(i + 1) * EVERY` ms of the recording's own time.

    All channels are mixed into one; 255 is as loud as can be recorded, 0 silence. `levels` is empty where
    the recording has no sound.
    """

    levels: NDArray[np.uint8]

    def loudest(self, edges: NDArray[np.int64]) -> NDArray[np.uint8]:
        """The loudest level between each two neighbours of `edges`, which are rising times in ms; 0 outside."""
        if not len(self.levels) or len(edges) < 2:
            return np.zeros(max(len(edges) - 1, 0), dtype=np.uint8)
        first = np.clip(edges[:-1] // EVERY, 0, len(self.levels))
        after = np.clip(-(-edges[1:] // EVERY), 0, len(self.levels))
        padded = np.append(self.levels, np.uint8(0))
        pairs = np.column_stack((first, after)).ravel()
        found = np.maximum.reduceat(padded, pairs)[::2]
        return np.where(after > first, found, 0).astype(np.uint8)


def read_peaks(path: Path, progress: Progress = silent) -> Peaks:
    """The loudness of the recording from its zero on; MediaError where it cannot be opened.

    What does not decode is passed over and stays silent. `progress` counts bytes of the file.
    """
    levels = np.zeros(0, dtype=np.uint8)
    with opened(path) as container:
        if not container.streams.audio:
            return Peaks(levels)
        sound = preferred(container.streams.audio)
        zero = zero_of(container, picture_stream(container, path))
        filled, reached = 0, 0
        for frame in _frames(container, sound, progress):
            reached = _start(frame, ticks(sound), zero, reached)
            first, heard = _peaks(frame, reached)
            reached += frame.samples
            end = min(first + len(heard), _MOST)
            if end <= first:
                continue
            if end > len(levels):
                levels = np.concatenate((levels, np.zeros(max(end - len(levels), len(levels), 6_000), dtype=np.uint8)))
            levels[first:end] = np.maximum(levels[first:end], heard[: end - first])
            filled = max(filled, end)
    return Peaks(levels[:filled].copy())


def _frames(container: InputContainer, sound: AudioStream, progress: Progress) -> Iterator[AudioFrame]:
    with suppress(av.error.FFmpegError, OSError, IndexError):
        packets = container.demux(sound)
        while batch := list(islice(packets, _REPORTS_EVERY)):
            place = next((packet.pos for packet in batch if packet.pos is not None), 0)
            progress(place, max(container.size, 1))
            for packet in batch:
                with suppress(av.error.FFmpegError):
                    yield from packet.decode()


def _start(frame: AudioFrame, tick: Fraction, zero: Fraction, otherwise: int) -> int:
    """The number of the frame's first sample, counted from the recording's zero at the frame's own rate."""
    if frame.pts is None:
        return otherwise
    return round((frame.pts * (exact(frame.time_base) or tick) - zero) * frame.sample_rate)


def _peaks(frame: AudioFrame, start: int) -> tuple[int, NDArray[np.uint8]]:
    """The first stretch that the frame reaches into, and the loudest sample of it and those that follow."""
    samples = np.abs(_mixed(frame)[max(-start, 0) :])
    start, rate = max(start, 0), frame.sample_rate
    if not len(samples) or rate <= 0:
        return 0, np.zeros(0, dtype=np.uint8)
    first, last = start * SECOND // (rate * EVERY), (start + len(samples) - 1) * SECOND // (rate * EVERY)
    begins = [max(-(-number * EVERY * rate // SECOND) - start, 0) for number in range(first, last + 1)]
    loudest = np.maximum.reduceat(samples, begins)
    return first, np.ceil(np.clip(loudest, 0, 1) * 255).astype(np.uint8)


def _mixed(frame: AudioFrame) -> _Samples:
    """One channel from all, -1 to 1, whatever the form of the samples."""
    stored = frame.to_ndarray()
    by_channel = stored if frame.format.is_planar else stored.reshape(-1, frame.layout.nb_channels).T
    mixed: NDArray[np.float64] = by_channel.mean(axis=0, dtype=np.float64)
    if stored.dtype.kind == "u":
        mixed = mixed / 128 - 1
    elif stored.dtype.kind == "i":
        mixed = mixed / 2.0 ** (8 * stored.dtype.itemsize - 1)
    return np.nan_to_num(mixed, nan=0.0, posinf=1.0, neginf=-1.0).astype(np.float32)
