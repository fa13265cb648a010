"""A part of a recording to be cut out, by time and as frames."""

from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from annotator.media.frame_index import FrameIndex
from annotator.media.index import read_index
from annotator.media.opening import opened, picture_stream, preferred
from annotator.model.timecode import SECOND, Ms


class Piece(NamedTuple):
    """A part of a recording: frames from the one shown at `start` up to the first at or after `end`, in ms."""

    path: Path
    start: Ms
    end: Ms


class Cut(NamedTuple):
    """A piece as frames of its recording: `first` up to, not including, `stop`; and the tracks to take."""

    path: Path
    frames: FrameIndex
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
        return Cut(piece.path, index, first, stop, picture.index, sound, size)


def seconds(ms: float) -> str:
    """As FFmpeg reads it."""
    return f"{ms / SECOND:.6f}"
