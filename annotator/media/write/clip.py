"""Cutting pieces out of recordings to the frame, encoded anew.

What was written is read again before it takes its name: of an exact piece every frame must be there, at
its time. Tags, chapters and further tracks of the source are left out. On any error nothing is left behind.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import ffmpeg
import numpy as np

from annotator.errors import MediaError
from annotator.media.container.opening import demuxer_of, file_url
from annotator.media.container.target import muxer_for
from annotator.media.index.reader import read_index
from annotator.media.write.atomic_output import atomic_output, why_not_written
from annotator.media.write.ffmpeg_graph import encoded
from annotator.media.write.ffmpeg_run import FfmpegFailed, run
from annotator.media.write.piece import Cut, Piece, cut_of, seconds
from annotator.model.timecode import Ms
from annotator.plain_text import plain
from annotator.progress import Progress, silent

_RUN_UP: Final[Ms] = 10_000
"""How much before the piece a seek aims, as in some containers it lands late."""

_ENCODERS: Final[dict[str, dict[str, object]]] = {
    "mp4": {"c:v": "libx264", "preset": "medium", "crf": 18, "pix_fmt": "yuv420p", "c:a": "aac", "b:a": "160k"},
    "webm": {
        "c:v": "libvpx-vp9",
        "crf": 31,
        "b:v": 0,
        "deadline": "good",
        "cpu-used": 5,
        "row-mt": 1,
        "pix_fmt": "yuv420p",
        "c:a": "libopus",
        "b:a": "96k",
    },
}

_BARE: Final[dict[str, object]] = {"map_metadata": -1, "map_chapters": -1}

_WITHOUT_TIMES: Final = frozenset({"avi"})
"""Containers that hold no times; those that FFmpeg makes up shift where pictures are decoded out of their order.
Their frames are counted, from the first one on."""

_ROUNDING: Final[Ms] = 1
"""By which a container may move a frame."""


def cut_exactly(pieces: Sequence[Piece], out: Path, progress: Progress = silent) -> tuple[str, ...]:
    """Write the pieces one after the other as `out`: .mp4 as H.264 and AAC, .webm as VP9 and Opus.

    Returns sentences on what was left out. MediaError where pictures of the pieces differ in size, where a
    frame would be missing or misplaced, or where the file cannot be written.
    """
    muxer = muxer_for(out)
    if muxer not in _ENCODERS:
        raise MediaError(f"“{plain(out.name)}” must end in .mp4 or .webm to be re-encoded")
    cuts = [cut_of(piece) for piece in pieces]
    for cut in cuts[1:]:
        if cut.source.size != cuts[0].source.size:
            raise MediaError(
                f"“{plain(cut.source.path.name)}” has another picture size than "
                f"“{plain(cuts[0].source.path.name)}”, so no "
                "clip can cross from one into the other; make one clip before the border and one after it"
            )
    with atomic_output(out) as part:
        if all(cut.source.sound is not None for cut in cuts):
            try:
                _encode(cuts, True, out, part, progress)
            except _NoSoundThere:
                _encode(cuts, False, out, part, progress)
                return (f"the sound of “{plain(cuts[0].source.path.name)}” does not reach there, so the clip has none",)
            return ()
        _encode(cuts, False, out, part, progress)
    return _silenced(cuts)


class _NoSoundThere(Exception):
    """No sound lies within the pieces, which leaves FFmpeg nothing to begin its track with."""


def _encode(cuts: Sequence[Cut], with_sound: bool, out: Path, part: Path, progress: Progress) -> None:
    muxer = muxer_for(out)
    options = {"f": muxer, **_ENCODERS[muxer], **_BARE}
    for run_up in (_RUN_UP, None):
        # With the stamps as they are in the recording, as `trim` cuts by them.
        graph = encoded(_joined(cuts, run_up, with_sound), part, options).global_args("-copyts")
        try:
            run(graph, sum(cut.end - cut.start for cut in cuts), progress)
        except FfmpegFailed as failure:
            if with_sound and "received no packets" in str(failure):
                raise _NoSoundThere from failure
            raise MediaError(why_not_written(out, str(failure))) from failure
        if _is_whole(cuts, part):
            return
    raise MediaError(f"“{plain(out.name)}” was not written, as frames would be missing; convert the recording first")


def _joined(cuts: Sequence[Cut], run_up: Ms | None, with_sound: bool) -> list[Any]:  # ffmpeg-python is untyped
    """The streams to encode, of all pieces."""
    streams = [stream for cut in cuts for stream in _trimmed(cut, run_up, with_sound)]
    if len(cuts) == 1:
        return streams
    joined = ffmpeg.concat(*streams, v=1, a=int(with_sound)).node
    return [joined[at] for at in range(1 + with_sound)]


def _trimmed(cut: Cut, run_up: Ms | None, with_sound: bool) -> Iterator[Any]:
    """Picture, and sound, of a piece."""
    recording = cut.source
    demuxer = demuxer_of(recording.path)
    begin = 0 if run_up is None or demuxer in _WITHOUT_TIMES else max(cut.start - run_up, 0)
    seek = {"ss": seconds(recording.zero + begin), "seek_timestamp": 1} if begin else {}
    options = {"f": demuxer, "protocol_whitelist": "file", "fflags": "+genpts", **recording.orientation.for_ffmpeg}
    source = ffmpeg.input(file_url(recording.path), **options, **seek)
    bounds = _by_number(cut) if demuxer in _WITHOUT_TIMES else _by_stamp(cut)
    picture = source[str(recording.picture)]
    picture = picture.filter("trim", **bounds) if bounds else picture
    # H.264 and VP9 with 4:2:0 need even sides.
    yield picture.filter("setpts", "PTS-STARTPTS").filter("pad", "ceil(iw/2)*2", "ceil(ih/2)*2")
    if with_sound:
        start, end = (seconds(recording.zero + at) for at in (cut.start, cut.end))
        heard = source[str(recording.sound)].filter("atrim", start=start, end=end)
        yield heard.filter("asetpts", "PTS-STARTPTS")


def _by_number(cut: Cut) -> dict[str, object]:
    return {"start_frame": cut.first, "end_frame": cut.stop}


def _by_stamp(cut: Cut) -> dict[str, object]:
    """Bounds in whole ticks: those in seconds would be rounded to ticks, which may be as long as a frame."""
    bounds: dict[str, object] = {}
    if cut.first:
        bounds["start_pts"] = cut.stamp_before(cut.first)
    if cut.stop < len(cut.frames):
        bounds["end_pts"] = cut.stamp_before(cut.stop)
    return bounds


def _is_whole(cuts: Sequence[Cut], written: Path) -> bool:
    """Whether every frame is there and, within each piece, at its time."""
    times = read_index(written).times
    if len(times) != sum(cut.stop - cut.first for cut in cuts):
        return False
    at = 0
    for cut in cuts:
        here = times[at : at + cut.stop - cut.first]
        at += cut.stop - cut.first
        if int(np.abs(here - here[0] - cut.times).max()) > _ROUNDING:
            return False
    return True


def _silenced(cuts: Sequence[Cut]) -> tuple[str, ...]:
    if unheard := [says for cut in cuts for says in cut.source.unheard]:
        return tuple(dict.fromkeys(unheard))
    mute = [cut.source.path.name for cut in cuts if cut.source.sound is None]
    if mute and len(mute) < len(cuts):
        return (f"“{plain(mute[0])}” has no sound, so a clip across both has none",)
    return ()
