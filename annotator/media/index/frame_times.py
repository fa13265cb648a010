"""Decoded frames with the time at which a player shows them, in ms from the recording's zero."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final, NamedTuple, cast

from av.container import Flags, InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotator.media.container.clock import zero_of
from annotator.media.container.opening import ticks
from annotator.media.index.frame_index import FrameIndex
from annotator.model.timecode import Ms, from_ticks

_MOST_WAITING: Final = 128
"""Frames held until one with a stamp tells their times: one in 0.7 s has one (ISO/IEC 13818-1, 2.7.4)."""


class Timed(NamedTuple):
    time: Ms
    frame: VideoFrame


def only_some_stamped(container: InputContainer) -> bool:
    """Whether only some pictures have a stamp in this container; from now on no others are made up for it."""
    if container.format.name != "mpeg":
        return False
    container.flags |= cast(int, Flags.no_fillin.value)
    container.flags &= ~cast(int, Flags.gen_pts.value)
    return True


def timed(
    container: InputContainer, stream: VideoStream, frames: Iterable[VideoFrame], index: FrameIndex | None
) -> Iterator[Timed]:
    """Frames of the track with their times; `index` is needed where `only_some_stamped`."""
    zero, tick = zero_of(container, stream), ticks(stream)
    if index is not None and container.format.name == "mpeg":
        return _by_counting(frames, tick, zero, index)
    return _by_stamp(frames, tick, zero)


def _by_stamp(frames: Iterable[VideoFrame], tick: Fraction, zero: Fraction) -> Iterator[Timed]:
    """Frames timed by their own stamp, or failing that by the stamp of the packet that brought them out."""
    for frame in frames:
        stamp = stamp_of(frame)
        if stamp is not None:
            yield Timed(from_ticks(stamp, tick, zero), frame)


def _by_counting(frames: Iterable[VideoFrame], tick: Fraction, zero: Fraction, index: FrameIndex) -> Iterator[Timed]:
    """Frames timed by their place in the index, counted from those that carry a stamp.

    MPEG program streams stamp only some frames. What FFmpeg makes up for the others is right when it reads
    from the start, but may be off by frames after a seek.
    """
    waiting: list[VideoFrame] = []
    place: int | None = None  # of the first frame that waits
    for frame in frames:
        waiting.append(frame)
        if frame.pts is not None:
            place = index.shown_at(from_ticks(frame.pts, tick, zero)) - len(waiting) + 1
        if place is not None:
            placed = enumerate(waiting, start=place)
            yield from (Timed(int(index.times[at]), ready) for at, ready in placed if 0 <= at < len(index))
            place += len(waiting)
            waiting.clear()
        elif len(waiting) > _MOST_WAITING:
            return


def stamp_of(frame: VideoFrame) -> int | None:
    """When players show a frame, in ticks: its own stamp, or failing that the one of the packet that brought it out."""
    return frame.dts if frame.pts is None else frame.pts
