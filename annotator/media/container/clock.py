"""From a container's time stamps to milliseconds since the recording's zero.

Zero is the container's start time, as players have it: QMediaPlayer was measured to show each frame at
its stamp less that start, whether the start comes from the picture, from sound that begins earlier, or
from a transport stream that starts late.

Encoders of sound prime themselves: their first packets hold no sound to be heard, and lie before zero.
Browsers, FFmpeg from version 8 on and QMediaPlayer with it pass over them. QMediaPlayer of Qt 6.11, with
FFmpeg 7.1, was measured to do so in MP4, but to count from them in Matroska and WebM, 3 to 23 ms early;
`sound_lead` tells by how much, for whoever must understand such a player.

FFmpeg rounds the start to a microsecond. Where that is only the rounding of the picture's own first
stamp, the earlier of the two is zero, so that a seek to a written time lands on or after its frame
whichever of them a player counts from.
"""

from contextlib import suppress
from fractions import Fraction
from itertools import islice
from math import lcm
from pathlib import Path
from typing import Final, TypeAlias

import av
import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream
from numpy.typing import NDArray

from annotator.media.container.opening import opened, picture_stream, preferred, ticks
from annotator.model.timecode import SECOND, Ms, from_ticks

Stamps: TypeAlias = NDArray[np.int64]

_FIRST_PACKETS: Final = 500
"""Of all tracks, among which sound that begins with the picture has its first."""

_ROUNDING: Final = Fraction(1, 1_000)
_SAFE: Final = 2**62


def zero_of(container: InputContainer, stream: VideoStream) -> Fraction:
    """The recording's zero, in seconds on the container's clock."""
    start = Fraction(container.start_time or 0, av.time_base)
    if stream.start_time is None:
        return start
    first = stream.start_time * ticks(stream)
    return min(start, first) if abs(start - first) < _ROUNDING else start


def sound_lead(path: Path) -> Ms:
    """How long before zero the first packet of sound begins, in ms; 0 where none does."""
    with opened(path) as container:
        tracks = container.streams.audio
        if not tracks:
            return 0
        zero = zero_of(container, picture_stream(container, path))
        sound = preferred(tracks)
        with suppress(av.error.FFmpegError, OSError):
            for packet in islice(container.demux(), _FIRST_PACKETS):
                if packet.stream_index == sound.index and packet.pts is not None:
                    return max(round((zero - packet.pts * ticks(sound)) * SECOND), 0)
    return 0


def to_ms(stamps: Stamps, time_base: Fraction, zero: Fraction) -> Stamps:
    """The ceiling in ms of every stamp less zero, exactly: what `timecode.from_ticks` gives, for all at once."""
    if not len(stamps):
        return stamps
    first = int(stamps[0])
    per_tick = time_base * SECOND
    offset = first * per_tick - zero * SECOND
    common = lcm(per_tick.denominator, offset.denominator)
    factor = per_tick.numerator * (common // per_tick.denominator)
    shift = offset.numerator * (common // offset.denominator)
    farthest = max(abs(int(stamps.max()) - first), abs(int(stamps.min()) - first))
    if farthest * factor + abs(shift) + common >= _SAFE:
        return np.array([from_ticks(int(stamp), time_base, zero) for stamp in stamps], dtype=np.int64)
    return -(-((stamps - first) * factor + shift) // common)
