"""Whether recordings may be joined without encoding them anew, and how FFmpeg is told to."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import accumulate, pairwise
from math import floor
from pathlib import Path
from typing import Final, NamedTuple

from av.audio.stream import AudioStream
from av.codec.context import CodecContext
from av.container import InputContainer
from av.stream import Stream
from av.video.stream import VideoStream

from annotator.errors import MediaError
from annotator.media.container.decoding import first_picture
from annotator.media.container.opening import exact, file_url, ticks
from annotator.media.pictures.picture import orientation_of
from annotator.model.timecode import SECOND, Ms
from annotator.plain_text import plain

_MICRO: Final = 1_000_000
_SETTINGS: Final = "encoder's settings"


class ToJoin(NamedTuple):
    """One of several recordings to be joined.

    traits  for each track that is kept, what must agree, by name
    tick    seconds of a unit of the picture's stamps
    start   the container's start time in microseconds
    """

    path: Path
    traits: tuple[dict[str, str], ...]
    tick: Fraction
    start: int


def to_join(path: Path, container: InputContainer, picture: VideoStream, kept: Sequence[Stream]) -> ToJoin:
    """What of a recording must agree with another for the two to be joined; reads its first picture."""
    orientation = orientation_of(first_picture(container, picture, path))
    turned = f"{orientation.asked}°{', mirrored' * orientation.mirrored}"
    traits = tuple(dict(_traits(stream)) | ({"rotation": turned} if stream == picture else {}) for stream in kept)
    return ToJoin(path, traits, ticks(picture), container.start_time or 0)


def refuse_unlike(parts: Sequence[ToJoin]) -> None:
    """MediaError that says what differs between which recordings, if anything does that copying cannot bridge."""
    first = parts[0]
    for other in parts[1:]:
        if differs := _difference(first, other):
            raise MediaError(
                f"“{plain(other.path.name)}” cannot be joined to “{plain(first.path.name)}” without re-encoding: "
                f"{differs}; convert both to the same format first, or make one case for each"
            )


def listing(parts: Sequence[ToJoin], durations: Sequence[Ms]) -> str:
    """The list for FFmpeg's concat demuxer (https://ffmpeg.org/ffmpeg-formats.html#concat-1).

    Each recording begins where those before it end by `durations`, moved down to a tick of its own stamps:
    a written time then lands on its frame or a hair behind its start, never on the frame before.
    """
    begins = [_begin(part, offset) for part, offset in zip(parts, accumulate(durations, initial=0), strict=False)]
    lasts = [f"duration {(after - before) / _MICRO:.6f}" for before, after in pairwise(begins)]
    lines = ["ffconcat version 1.0"]
    for part, last in zip(parts, [*lasts, ""], strict=True):
        lines += [f"file {_quoted(part.path)}", last]
    return "\n".join(lines)


def _begin(part: ToJoin, offset: Ms) -> int:
    """Where the part begins in the joined recording, in microseconds: less than a tick before `offset`."""
    start = Fraction(part.start, _MICRO)
    moved = floor((Fraction(offset, SECOND) - start) / part.tick) * part.tick
    return round((moved + start) * _MICRO)


def _quoted(path: Path) -> str:
    """A file name for the list: inside single quotes only a quote itself means anything."""
    url = file_url(path)
    if "\n" in url or "\r" in url:
        raise MediaError(f"“{plain(path.name)}” has a line break in its name or folder; rename it first")
    return "'" + url.replace("'", r"'\''") + "'"


def _traits(stream: Stream) -> Iterator[tuple[str, str]]:
    yield "kind of track", stream.type
    context: CodecContext | None = stream.codec_context
    if context is None:
        return
    yield "codec", context.codec.canonical_name
    if isinstance(stream, VideoStream):
        yield "picture", f"{stream.codec_context.width} × {stream.codec_context.height}"
        yield "pixel format", str(stream.codec_context.pix_fmt)
        yield "pixel aspect", str(exact(stream.sample_aspect_ratio) or 1)
        yield "clock", f"{ticks(stream)} s"
    if isinstance(stream, AudioStream):
        yield "sampling", f"{stream.codec_context.sample_rate} Hz"
        yield "channels", stream.codec_context.layout.name
        yield "sample format", stream.codec_context.format.name
    yield _SETTINGS, (context.extradata or b"").hex()


def _difference(first: ToJoin, other: ToJoin) -> str | None:
    if len(first.traits) != len(other.traits):
        return f"it has {len(other.traits)} tracks, not {len(first.traits)}"
    for mine, theirs in zip(first.traits, other.traits, strict=True):
        for name in mine | theirs:
            if mine.get(name) != theirs.get(name):
                says = f"its {name} is {theirs.get(name, 'unknown')}, not {mine.get(name, 'unknown')}"
                return "its encoder settings differ" if name == _SETTINGS else says
    return None
