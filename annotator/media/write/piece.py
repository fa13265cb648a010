"""A part of a recording to be cut out, by time and as frames."""

from fractions import Fraction
from math import floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from annotator.media.index.frame_index import FrameIndex
from annotator.media.survey import Survey
from annotator.model.timecode import SECOND, Ms


class Piece(NamedTuple):
    """A part of a recording: frames from the one shown at `start` up to the first at or after `end`, in ms."""

    source: Survey
    start: Ms
    end: Ms


class Cut(NamedTuple):
    """A piece as frames of its recording: `first` up to, not including, `stop`."""

    source: Survey
    first: int
    stop: int

    @property
    def frames(self) -> FrameIndex:
        """All of the recording's."""
        return self.source.frames

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
        return floor((int(self.frames.times[frame]) - 1 + self.source.zero) / (SECOND * self.source.tick)) + 1

    @property
    def times(self) -> NDArray[np.int64]:
        """Of its frames, from its start."""
        return self.frames.times[self.first : self.stop] - self.start


def cut_of(piece: Piece) -> Cut:
    """Which frames a piece is."""
    frames = piece.source.frames
    first = frames.shown_at(piece.start)
    stop = max(int(np.searchsorted(frames.times, piece.end, side="left")), first + 1)
    return Cut(piece.source, first, stop)


def seconds(ms: float | Fraction) -> str:
    """As FFmpeg reads it."""
    return f"{float(ms) / SECOND:.6f}"
