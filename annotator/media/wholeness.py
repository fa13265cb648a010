"""What tells that a file held, or was to hold, more than can be read of it."""

from fractions import Fraction
from pathlib import Path
from typing import Final

import av
from av.container import InputContainer
from av.video.stream import VideoStream

from annotator.media.frame_index import FrameIndex
from annotator.media.opening import ticks
from annotator.media.packets import Packets
from annotator.model.timecode import LATEST, Ms, ceil_ms, clock

_NOTICEABLE: Final[Ms] = 1_000
_FEW: Final = 5
"""Pictures that may be missing from the end without a word: headers are that careless."""


def broken_off(path: Path, packets: Packets, listed: int, end: Ms) -> str | None:
    """A sentence where reading stopped before all there should be; `listed` pictures are in the file's own table."""
    if packets.broken_off:
        return f"It cannot be read past {clock(end)}"
    if listed > len(packets):
        return f"It was cut short: the last {listed - len(packets)} of its {listed} pictures are missing"
    if _promises_more(path):
        return "It was cut short: its header promises more than the file holds"
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
    return f"Its header says that it lasts to {clock(said)}, but its pictures end at {clock(index.end)}"


def _promises_more(path: Path) -> bool:
    """Whether an AVI says of itself that it is longer than the file: a RIFF chunk begins with its size."""
    with path.open("rb") as file:
        head = file.read(8)
    return head[:4] == b"RIFF" and int.from_bytes(head[4:], "little") + 8 > path.stat().st_size
