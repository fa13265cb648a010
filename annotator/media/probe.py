"""The facts of a recording, as read from its file."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Final

from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from annotator.media.container.altered import alterations
from annotator.media.container.chapters import chapters_of
from annotator.media.container.clock import zero_of
from annotator.media.container.decoding import first_picture, is_interlaced
from annotator.media.container.limits import MAX_TAGS
from annotator.media.container.opening import codec_of, exact, opened, picture_stream, picture_tracks, preferred
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from annotator.media.pictures.picture import Orientation, display_aspect, orientation_of
from annotator.model.recording import MediaFacts
from annotator.model.timecode import SECOND
from annotator.plain_text import plain
from annotator.progress import Progress, silent

_LOCATION: Final = "location"
"""What cameras call the tag with the place of recording, in MP4 and in QuickTime; common practice, no source."""


def probe(path: Path, index: FrameIndex | None = None, progress: Progress = silent) -> MediaFacts:
    """What the recording is; MediaError where it is none, or where none of its pictures can be decoded.

    The frame index is read where it is not given: for most MP4 and MOV in a moment, else by reading the
    file through. `progress` counts bytes of it.
    """
    with opened(path) as container:
        stream = picture_stream(container, path)
        picture = first_picture(container, stream, path)
        return _facts(path, container, stream, picture, index or read_index(path, progress))


def _facts(
    path: Path, container: InputContainer, stream: VideoStream, picture: VideoFrame, index: FrameIndex
) -> MediaFacts:
    zero = zero_of(container, stream)
    chapters = chapters_of(path, container, stream.id, zero, index.end)
    context = stream.codec_context
    average = Fraction(len(index) * SECOND, max(index.end, 1))
    orientation = orientation_of(picture)
    interlaced = is_interlaced(stream) or picture.interlaced_frame
    return MediaFacts(
        duration=index.end,
        frames=len(index),
        frame_rate=index.rate,
        width=context.width,
        height=context.height,
        display_aspect=display_aspect(context.width, context.height, exact(stream.sample_aspect_ratio), orientation),
        rotation=orientation.clockwise,
        mirrored=orientation.mirrored,
        video_codec=context.codec.canonical_name,
        audio_codec=_sound_codec(container),
        bit_depth=picture.format.components[0].bits,
        interlaced=interlaced,
        start=round(zero * SECOND),
        chapters=chapters.chapters,
        on_chapters=chapters.notes,
        tags=_tags(container.metadata),
        altered=alterations(path, stream.id, container.metadata, index.rate, average),
        warnings=(*index.notes, *_oddities(container, stream, interlaced), *_turning(orientation), *chapters.notes),
    )


def _sound_codec(container: InputContainer) -> str | None:
    tracks = container.streams.audio
    if not tracks:
        return None
    return codec_of(preferred(tracks))


def _tags(metadata: Mapping[str, str]) -> dict[str, str]:
    return {plain(key): plain(metadata[key]) for key in sorted(metadata)[:MAX_TAGS]}


def _turning(orientation: Orientation) -> Iterator[str]:
    if orientation.is_askew:
        shown = f"rotated by {orientation.clockwise}°" if orientation.clockwise else "as stored"
        yield f"It asks to be rotated by {orientation.asked}°; players do quarter turns, so it is shown and cut {shown}"


def _oddities(container: InputContainer, stream: VideoStream, interlaced: bool) -> Iterator[str]:
    tracks = picture_tracks(container)
    if len(tracks) > 1:
        yield f"It has {len(tracks)} video tracks; the one that players show, track {stream.index}, is used"
    if len(tracks) < len(container.streams.video):
        yield "It has a cover picture, which is ignored"
    if interlaced:
        yield "It is interlaced: moving parts look combed in a still"
    if any(_LOCATION in key.casefold() for key in container.metadata):
        yield "Its tags say where it was recorded; look at them before you share it"
    if not container.streams.audio:
        yield "It has no sound"
    elif _sound_codec(container) == "unknown":
        yield "Its sound cannot be decoded"
