"""What tells that a file held, or was to hold, more than can be read of it."""

from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream

from annotator.media.container.opening import ticks
from annotator.media.container.packets import Packets
from annotator.media.index.frame_index import FrameIndex
from annotator.model.timecode import LATEST, Ms, ceil_ms, clock

_NOTICEABLE: Final[Ms] = 1_000
_FEW: Final = 5
"""Pictures that may be missing from the end without a word, as headers are that careless; and anywhere else."""

_NOTICEABLE_GAP: Final[Ms] = 200
_ROUNDING: Final[Ms] = 1
_MOST_ODD: Final = 0.05
"""Of the distances between pictures; with more that differ the rate varies, and a gap is nothing odd."""

_MOST_GAPS: Final = 3
"""That are told one by one, and may be in the shortest recording."""


def broken_off(path: Path, packets: Packets, listed: int, end: Ms) -> str | None:
    """A sentence where reading stopped before all there should be; `listed` pictures are in the file's own table."""
    if packets.broken_off:
        return f"It cannot be read past {clock(end)}"
    if listed > len(packets):
        return f"It was cut short: the last {listed - len(packets)} of its {listed} frames are missing"
    if _promises_more(path):
        return "It was cut short: its header promises more than the file contains"
    return None


def ends_early(container: InputContainer, stream: VideoStream, zero: Fraction, index: FrameIndex) -> str | None:
    """A sentence where the header tells of an end that is later than the pictures have, by more than a few of them."""
    if stream.duration is not None:
        said = ceil_ms(((stream.start_time or 0) + stream.duration) * ticks(stream) - zero)
    elif container.format.name.startswith("matroska") and container.duration is not None:
        said = ceil_ms(Fraction(container.duration, av.time_base) - zero)
    else:
        return None
    noticeable = max(_NOTICEABLE, _FEW * (index.end - int(index.times[0])) // len(index))
    if not index.end + noticeable < said <= LATEST:
        return None
    return f"Its header says that it lasts to {clock(said)}, but its frames end at {clock(index.end)}"


def gaps(index: FrameIndex) -> tuple[str, ...]:
    """Sentences where a recording whose pictures come at one distance almost everywhere has none for a while.

    A hole in the file shows so where packets carry their own times: there are fewer of them, and all that are left
    decode.
    """
    distances = np.diff(index.times)
    if not len(distances):
        return ()
    usual = float(np.median(distances))
    if int((np.abs(distances - usual) > _ROUNDING).sum()) > max(len(distances) * _MOST_ODD, _MOST_GAPS):
        return ()
    wide = np.flatnonzero(distances >= max(_FEW * usual, _NOTICEABLE_GAP))
    said = [
        f"It has no frames between {clock(int(index.times[at]))} and {clock(int(index.times[at + 1]))}, "
        f"where {round(distances[at] / usual) - 1} would be at its usual rate"
        for at in wide[:_MOST_GAPS]
    ]
    if len(wide) > _MOST_GAPS:
        said.append(f"It has {len(wide) - _MOST_GAPS} more such gaps")
    return tuple(said)


def _promises_more(path: Path) -> bool:
    """Whether an AVI says of itself that it is longer than the file: a RIFF chunk begins with its size."""
    with path.open("rb") as file:
        head = file.read(8)
    return head[:4] == b"RIFF" and int.from_bytes(head[4:], "little") + 8 > path.stat().st_size
