"""A part of a recording to be cut out, by time and as frames."""

from fractions import Fraction
from math import floor
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from annotator.media.clock import zero_of
from annotator.media.frame_index import FrameIndex
from annotator.media.index import read_index
from annotator.media.opening import opened, picture_stream, preferred, ticks
from annotator.model.timecode import SECOND, Ms


class Piece(NamedTuple):
    """A part of a recording: frames from the one shown at `start` up to the first at or after `end`, in ms."""

    path: Path
    start: Ms
    end: Ms


class Cut(NamedTuple):
    """A piece as frames of its recording: `first` up to, not including, `stop`; and the tracks to take.

    `zero` is the recording's zero on the container's own clock, in ms, and `tick` the length of a tick of its
    picture, in seconds. Versions of FFmpeg differ in where they say that a container starts, so only its own clock
    can be agreed on.
    """

    path: Path
    frames: FrameIndex
    zero: Fraction
    tick: Fraction
    first: int
    stop: int
    picture: int
    sound: int | None
    size: tuple[int, int]

    @property
    def start(self) -> Ms:
        return int(self.frames.times[self.first])

    @property
    def end(self) -> Ms:
        return int(self.frames.times[self.stop]) if self.stop < len(self.frames) else self.frames.end

    def stamp_before(self, frame: int) -> int:
        """A stamp in ticks that is at or before this frame's, and after that of the frame before.

        Times are stamps rounded up by less than a ms, and no two are the same: so it is the first one that lies
        less than a ms before the frame's time.
        """
        return floor((int(self.frames.times[frame]) - 1 + self.zero) / (SECOND * self.tick)) + 1

    @property
    def times(self) -> NDArray[np.int64]:
        """Of its frames, from its start."""
        return self.frames.times[self.first : self.stop] - self.start


def surveyed(piece: Piece) -> Cut:
    """Which frames and tracks a piece is."""
    index = read_index(piece.path)
    first = index.shown_at(piece.start)
    stop = max(int(np.searchsorted(index.times, piece.end, side="left")), first + 1)
    with opened(piece.path) as container:
        picture = picture_stream(container, piece.path)
        tracks = container.streams.audio
        sound = preferred(tracks).index if tracks else None
        size = (picture.codec_context.width, picture.codec_context.height)
        zero = zero_of(container, picture) * SECOND
        return Cut(piece.path, index, zero, ticks(picture), first, stop, picture.index, sound, size)


def seconds(ms: float | Fraction) -> str:
    """As FFmpeg reads it."""
    return f"{float(ms) / SECOND:.6f}"
