"""The packets of one track as columns of numbers, read without decoding.

`Packets` is what the frame index is made from; whether it was read from the whole file (here) or from
an MP4's own table (`sample_table`) makes no difference to what follows.
"""

from array import array
from collections.abc import Callable
from dataclasses import dataclass
from enum import IntFlag
from pathlib import Path
from time import monotonic
from typing import Final

import av
import numpy as np
from av.container import InputContainer
from av.stream import Discard
from av.video.stream import VideoStream
from numpy.typing import NDArray

from annotator.errors import MediaError
from annotator.media.container.clock import Stamps
from annotator.media.container.decoding import TrackPacket, demuxed
from annotator.media.container.limits import MAX_FRAMES
from annotator.plain_text import plain
from annotator.progress import Progress

NO_STAMP: Final = -(2**63)
"""Stands for a missing stamp, as AV_NOPTS_VALUE does in FFmpeg."""

_BATCH: Final = 512
_REPORTS_A_SECOND: Final = 10


class Mark(IntFlag):
    """What is known of one packet."""

    KEY = 1
    HIDDEN = 2
    """Decoded but never shown: cut away by an edit list, or a frame that only helps others."""
    DAMAGED = 4


@dataclass(frozen=True, eq=False)
class Packets:
    """One entry a packet, in the order of decoding; stamps and durations in ticks of the track.

    shown      presentation stamp, NO_STAMP where there is none
    decoded    decoding stamp, the same
    durations  0 where unknown
    marks      `Mark` flags
    broken_off whether reading stopped at an error before the end of the file
    """

    shown: Stamps
    decoded: Stamps
    durations: Stamps
    marks: NDArray[np.uint8]
    broken_off: bool = False

    def __len__(self) -> int:
        return len(self.shown)

    def marked(self, mark: Mark) -> NDArray[np.bool_]:
        return np.bitwise_and(self.marks, mark).astype(np.bool_)


def read_packets(container: InputContainer, stream: VideoStream, progress: Progress) -> Packets:
    """Read the track from first to last packet; what an error cuts off is left out, and `broken_off` says so."""
    for other in container.streams:
        if other.index != stream.index:
            other.discard = Discard.all
    shown, decoded, durations, marks = array("q"), array("q"), array("q"), bytearray()
    is_hidden = _HIDDEN_FRAMES.get(stream.codec_context.codec.canonical_name)
    report = _reporter(container, progress)
    broken_off = False
    try:
        for packet in demuxed(container, stream):
            if not packet.size:
                continue
            shown.append(_stamp(packet.pts))
            decoded.append(_stamp(packet.dts))
            durations.append(packet.duration or 0)
            mark = packet.is_keyframe | packet.is_discard << 1 | packet.is_corrupt << 2
            if is_hidden is not None and is_hidden(packet):
                mark |= Mark.HIDDEN
            marks.append(mark)
            if not len(marks) % _BATCH:
                report(packet)
    except MediaError:
        raise
    except (av.error.FFmpegError, OSError):
        broken_off = True
    return Packets(
        np.frombuffer(shown, dtype=np.int64),
        np.frombuffer(decoded, dtype=np.int64),
        np.frombuffer(durations, dtype=np.int64),
        np.frombuffer(marks, dtype=np.uint8),
        broken_off,
    )


def _stamp(value: int | None) -> int:
    return NO_STAMP if value is None else value


def _reporter(container: InputContainer, progress: Progress) -> Callable[[TrackPacket], None]:
    """Tells the progress by the place in the file, some ten times a second, and holds the bound on pictures."""
    size = max(container.size, 1)
    last, batches = 0.0, 0

    def report(packet: TrackPacket) -> None:
        nonlocal last, batches
        batches += 1
        if batches * _BATCH > MAX_FRAMES:
            raise MediaError(
                f"“{plain(Path(container.name).name)}” contains more than {MAX_FRAMES} frames, "
                "more than any recording of an operation; split it first"
            )
        now = monotonic()
        if packet.pos is not None and now - last >= 1 / _REPORTS_A_SECOND:
            last = now
            progress(min(packet.pos, size), size)

    return report


def _vp8_hidden(packet: TrackPacket) -> bool:
    """RFC 6386, 9.1: bit 4 of the first byte is show_frame."""
    return not memoryview(packet)[0] & 0b1_0000


def _vp9_hidden(packet: TrackPacket) -> bool:
    """VP9 bitstream specification, 6.2: show_existing_frame and show_frame of the frame header, top bit first.

    A superframe (annex B) brings hidden frames together with the one that is shown.
    """
    data = memoryview(packet)
    last = data[-1]
    index_size = 2 + ((last >> 3 & 0b11) + 1) * ((last & 0b111) + 1)
    if last >> 5 == 0b110 and len(data) > index_size and data[-index_size] == last:
        return False
    flags = data[0] << 1 if data[0] >> 4 & 0b11 == 0b11 else data[0]  # profile 3 has one more bit before them
    show_existing, show = flags >> 3 & 1, flags >> 1 & 1
    return not (show_existing or show)


_HIDDEN_FRAMES: Final[dict[str, Callable[[TrackPacket], bool]]] = {"vp8": _vp8_hidden, "vp9": _vp9_hidden}
