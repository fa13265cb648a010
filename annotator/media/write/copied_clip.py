"""Copying a piece out of a recording without encoding it anew: from the last key frame at or before it.

What was written is opened again before it takes its name: its first picture must be, to the last bit, the one
that was announced. Tags, chapters and further tracks of the source are left out.
"""

from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Final

import av
import ffmpeg
import numpy as np

from annotator.errors import MediaError
from annotator.media.container.clock import zero_of
from annotator.media.container.opening import demuxer_of, file_url, opened, picture_stream, ticks
from annotator.media.container.taken import refuse_codecs
from annotator.media.container.target import muxer_for
from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import frame_at
from annotator.media.write.atomic_output import atomic_output, why_not_written
from annotator.media.write.ffmpeg_graph import copied
from annotator.media.write.ffmpeg_run import FfmpegFailed, run
from annotator.media.write.piece import Cut, Piece, cut_of, seconds
from annotator.model.timecode import SECOND, Ms, from_ticks
from annotator.plain_text import plain
from annotator.progress import Progress, silent

_STEP: Final[Ms] = 2_000
"""How much earlier to seek when a seek has landed behind what was sought; doubled from then on."""

_LATER: Final[tuple[Ms, ...]] = (0, 131)
"""FFmpeg seeks 130 ms before what it is asked for in containers that are not sought by the time of showing, if
pictures are decoded out of their order: there it is asked for a little more."""


def starts_early(piece: Piece) -> Ms:
    """By how many ms a copy of this piece begins before it."""
    cut = cut_of(piece)
    return cut.start - _key_frame_before(piece.source.path, cut.start)


def copy_from_key_frame(piece: Piece, out: Path, progress: Progress = silent) -> Ms:
    """Write a piece without encoding it anew; returns by how many ms it begins earlier than asked.

    It may end with a frame or two from shortly after the piece. MediaError where it cannot be copied whole.
    """
    muxer = muxer_for(out)
    cut, source = cut_of(piece), piece.source.path
    refuse_codecs(source, piece.source.codecs, muxer)
    begin = _key_frame_before(source, cut.start)
    with atomic_output(out) as part:
        for later in _LATER:
            try:
                _run(cut, begin, begin + later, muxer, part, progress)
            except FfmpegFailed as failure:
                raise MediaError(why_not_written(out, str(failure))) from failure
            if _is_whole(part, cut, begin):
                return cut.start - begin
        raise MediaError(
            f"“{plain(out.name)}” was not written: this recording does not allow a fast copy; "
            "re-encode the clip instead"
        )


def _run(cut: Cut, begin: Ms, aim: Ms, muxer: str, part: Path, progress: Progress) -> None:
    """Let FFmpeg copy from the key frame on that it finds for `aim`, up to the end of the piece."""
    recording = cut.source
    source = ffmpeg.input(
        file_url(recording.path),
        f=demuxer_of(recording.path),
        protocol_whitelist="file",
        fflags="+genpts",
        ss=seconds(recording.zero + aim),
        seek_timestamp=1,
    )
    tracks = [source[str(number)] for number in (recording.picture, recording.sound) if number is not None]
    options = {"f": muxer, "avoid_negative_ts": "make_zero", "map_metadata": -1, "map_chapters": -1}
    graph = copied(tracks, tracks[0], part, options, {"t": seconds(max(cut.end - aim, 1))})
    run(graph, cut.end - begin, progress)


def _is_whole(part: Path, cut: Cut, begin: Ms) -> bool:
    """Whether what was written has enough frames, and its first one is the recording's at `begin`, to the last bit."""
    try:
        frames = read_index(part)
        enough = len(frames) >= cut.stop - cut.frames.shown_at(begin)
        # Of a clip of a few pictures FFmpeg may say that it starts after the first of them.
        first = frame_at(part, int(frames.times[0]), frames)
        return enough and np.array_equal(first, frame_at(cut.source.path, begin, cut.frames))
    except MediaError:
        return False


def _key_frame_before(path: Path, ms: Ms) -> Ms:
    """The time of the last key frame at or before `ms`; 0 where the container does not tell."""
    for aim in _ever_earlier(ms):
        found = _first_key_frame_from(path, aim)
        if found is not None and found <= ms:
            return max(found, 0)
    return 0


def _ever_earlier(ms: Ms) -> Iterator[Ms]:
    yield ms
    for doubling in count():
        aim = ms - _STEP * 2**doubling
        if aim <= 0:
            return
        yield aim


def _first_key_frame_from(path: Path, ms: Ms) -> Ms | None:
    """When the first key frame is shown that a seek to `ms` leads to."""
    with opened(path) as container:
        stream = picture_stream(container, path)
        zero, tick = zero_of(container, stream), ticks(stream)
        try:
            container.seek(int((zero + ms / SECOND) / tick), stream=stream)
            packets = (one for one in container.demux(stream) if one.is_keyframe and one.pts is not None)
            stamp = next((one.pts for one in packets), None)
        except (av.error.FFmpegError, OSError):
            return None
    return None if stamp is None else from_ticks(stamp, tick, zero)
