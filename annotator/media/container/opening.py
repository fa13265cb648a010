"""The one door through which recordings are opened for reading.

Only plain local files come in, their container told from their content, read by a demuxer that is
named outright and may open nothing but files (and is told to follow no references to others).
Every refusal is a MediaError with a sentence.
"""

import re
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, Protocol, TypeVar, cast

import av
from av.container import Flags, InputContainer
from av.stream import Disposition, Stream
from av.video.stream import VideoStream

from annotator.errors import MediaError
from annotator.media.container.limits import MAX_PIXELS, MAX_SIDE, MAX_STREAMS, OPEN_SECONDS, READ_SECONDS
from annotator.media.container.sniff import HEAD_BYTES, demuxer_for, what_else
from annotator.plain_text import plain

_Track = TypeVar("_Track", bound=Stream)

_ADDRESS: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.-]+:")
"""What an address begins with; a Windows drive has but one letter."""

_OPTIONS: Final = {
    "protocol_whitelist": "file",
    "max_streams": str(MAX_STREAMS),
    "max_pixels": str(MAX_PIXELS),
    "enable_drefs": "0",
    "use_absolute_path": "0",
}

_TAGS_IN_ANY_ENCODING: Final[dict[str, Any]] = (
    {"metadata_errors": "surrogateescape"} if int(av.__version__.partition(".")[0]) < 19 else {}
)
"""Bytes that are not UTF-8 become broken code points, which `plain` takes out; PyAV does so unasked from 19 on."""


class Ratio(Protocol):
    """A Fraction, or PyAV's own kind of it."""

    @property
    def numerator(self) -> int: ...

    @property
    def denominator(self) -> int: ...


@contextmanager
def opened(path: Path) -> Iterator[InputContainer]:
    """The recording, open for reading; MediaError says why it cannot be."""
    container = _open(path, demuxer_of(path))
    try:
        yield container
    finally:
        container.close()


def demuxer_of(path: Path) -> str:
    """FFmpeg's name for the container that `path` holds, or MediaError for anything that is no recording."""
    head = _head(path)
    demuxer = demuxer_for(head)
    if demuxer is None:
        raise MediaError(f"“{plain(path.name)}” {what_else(head)}")
    return demuxer


def file_url(path: Path) -> str:
    """The path as FFmpeg must be given it, so that no colon, question mark or percent sign in it means anything."""
    return f"file:{path.absolute()}"


def picture_stream(container: InputContainer, path: Path) -> VideoStream:
    """The track of pictures that a player shows: the first marked as default, else the first; cover pictures aside."""
    tracks = picture_tracks(container)
    if not tracks:
        what = "contains sound but no picture" if container.streams.audio else "contains no picture"
        raise MediaError(f"“{plain(path.name)}” {what}; select a recording with a picture")
    chosen = preferred(tracks)
    context = chosen.codec_context
    if context is None:
        raise MediaError(
            f"“{plain(path.name)}” stores its picture in an unknown format; convert it to H.264 in MP4 first"
        )
    if max(context.width, context.height) > MAX_SIDE or context.width * context.height > MAX_PIXELS:
        raise MediaError(
            f"“{plain(path.name)}” has a picture of {context.width} × {context.height} pixels, "
            f"larger than the limit of {MAX_SIDE} along a side; make a smaller copy first"
        )
    context.options = {"max_pixels": str(MAX_PIXELS)}
    return chosen


def picture_tracks(container: InputContainer) -> list[VideoStream]:
    """Every track of moving pictures; a cover picture is none."""
    return [track for track in container.streams.video if not track.disposition & Disposition.attached_pic]


def preferred(tracks: Sequence[_Track]) -> _Track:
    """The one of several like tracks that a player takes on its own."""
    return next((track for track in tracks if track.disposition & Disposition.default), tracks[0])


UNKNOWN: Final = "unknown"
"""The name of a form that is not known here."""


def codec_of(stream: Stream) -> str:
    """FFmpeg's name of the form in which the track is stored, or `UNKNOWN`."""
    context = stream.codec_context
    return UNKNOWN if context is None else context.codec.canonical_name


def ticks(stream: Stream) -> Fraction:
    """Seconds that one unit of the stream's time stamps lasts."""
    return exact(stream.time_base) or Fraction(1, av.time_base)


def exact(ratio: Ratio | None) -> Fraction | None:
    """What the video library says is a ratio; None where it says that it does not know.

    From version 19 on PyAV has a kind of its own, which rounds to 32 bits and says 0/1 or 0/0 for "not known".
    """
    return Fraction(ratio.numerator, ratio.denominator) if ratio else None


def _head(path: Path) -> bytes:
    """The first bytes of a plain file, without ever waiting on a pipe or a device."""
    shown = f"“{plain(str(path))}”"
    try:
        mode = path.stat().st_mode
        head = b"" if not stat.S_ISREG(mode) else _read_head(path)
    except (FileNotFoundError, NotADirectoryError):
        if _ADDRESS.match(str(path)):
            raise MediaError(
                f"{shown} is an address, and nothing is downloaded; save the recording as a file"
            ) from None
        raise MediaError(f"There is no file {shown}; check the name and that its drive is connected") from None
    except PermissionError:
        raise MediaError(f"{shown} can't be read: you have no permission; ask for it, or copy the file") from None
    except (OSError, ValueError) as error:
        raise MediaError(f"{shown} cannot be opened: {plain(str(error))}") from None
    if stat.S_ISDIR(mode):
        raise MediaError(f"{shown} is a folder; select the recordings inside it")
    if not stat.S_ISREG(mode):
        raise MediaError(f"{shown} is a device or a pipe; copy the recording into a file first")
    if not head:
        raise MediaError(f"{shown} is empty; copy it from the recorder again")
    return head


def _read_head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(HEAD_BYTES)


def _open(path: Path, demuxer: str) -> InputContainer:
    name = f"“{plain(path.name)}”"
    try:
        container: InputContainer = av.open(
            file_url(path),
            "r",
            format=demuxer,
            options=_OPTIONS,
            timeout=(OPEN_SECONDS, READ_SECONDS),
            **_TAGS_IN_ANY_ENCODING,
        )
    except (av.error.ExitError, av.error.TimeoutError):
        raise MediaError(f"{name} takes too long to open; copy it to this computer first") from None
    except av.error.MemoryError:
        raise MediaError(f"{name} asks for more tracks or memory than a recording needs, so it is not opened") from None
    except (av.error.FFmpegError, OSError) as error:
        raise MediaError(_why_unreadable(path, demuxer, name, error)) from None
    if demuxer == "avi":
        # AVI holds no presentation stamps; those that FFmpeg makes up for it ignore the order of B pictures.
        container.flags &= ~cast(int, Flags.gen_pts.value)
    return container


def _why_unreadable(path: Path, demuxer: str, name: str, error: Exception) -> str:
    if demuxer == "mov" and not _has_movie_box(path):
        return (
            f"{name} has no frame table, which happens when a recorder loses power while recording; "
            "copy it again, or have the recorder repair it"
        )
    reason = plain(getattr(error, "strerror", None) or str(error))
    return f"{name} is damaged and cannot be opened ({reason}); copy it again"


def _has_movie_box(path: Path) -> bool:
    """Whether an MP4 or MOV file has its table of contents, looked for box by box (ISO/IEC 14496-12, 4.2)."""
    with path.open("rb") as file:
        for _ in range(1_000):
            header = file.read(16)
            size = int.from_bytes(header[:4], "big")
            if header[4:8] == b"moov":
                return True
            if size == 1:
                size = int.from_bytes(header[8:16], "big")
            if size < 8:
                return False
            file.seek(size - len(header), 1)
    return False
