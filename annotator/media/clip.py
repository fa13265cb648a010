"""Cutting pieces out of recordings: to the frame and encoded anew, or copied from the key frame before.

What was written is read again before it takes its name: of an exact piece every frame must be there, at
its time. Tags, chapters and further tracks of the source are left out. On any error nothing is left behind.
"""

import secrets
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, NamedTuple

import av
import ffmpeg
import numpy as np
from numpy.typing import NDArray

from annotator.errors import MediaError
from annotator.media.clock import zero_of
from annotator.media.ffmpeg_run import FfmpegFailed, run
from annotator.media.frame_index import FrameIndex
from annotator.media.index import read_index
from annotator.media.opening import demuxer_of, file_url, opened, picture_stream, preferred, ticks
from annotator.media.plain_text import plain
from annotator.media.target import kept_tracks, muxer_for
from annotator.model.timecode import SECOND, Ms, from_ticks
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

_KEEPING_TIMES: Final[dict[str, object]] = {"fps_mode": "passthrough", "enc_time_base": "filter"}

_BARE: Final[dict[str, object]] = {"map_metadata": -1, "map_chapters": -1}

_ROUNDING: Final[Ms] = 1
"""By which a container may move a frame."""


class Piece(NamedTuple):
    """A part of a recording: frames from the one shown at `start` up to the first at or after `end`, in ms."""

    path: Path
    start: Ms
    end: Ms


class _Cut(NamedTuple):
    """A piece as frames of its recording: `first` up to, not including, `stop`."""

    path: Path
    frames: FrameIndex
    first: int
    stop: int
    picture: int
    sound: int | None
    size: tuple[int, int]

    @property
    def start(self) -> Ms:
        return int(self.frames.times[self.first])

    @property
    def end(self) -> Ms:
        return int(self.frames.times[self.stop]) if self.stop < len(self.frames) else self.frames.end

    @property
    def times(self) -> NDArray[np.int64]:
        return self.frames.times[self.first : self.stop] - self.start


def cut_exactly(pieces: Sequence[Piece], out: Path, progress: Progress = silent) -> tuple[str, ...]:
    """Write the pieces one after the other as `out`: .mp4 as H.264 and AAC, .webm as VP9 and Opus.

    Returns sentences on what was left out. MediaError where pictures of the pieces differ in size, where a
    frame would be missing or misplaced, or where the file cannot be written.
    """
    muxer = muxer_for(out)
    if muxer not in _ENCODERS:
        raise MediaError(f"“{plain(out.name)}” must end in .mp4 or .webm to be encoded anew")
    cuts = [_surveyed(piece) for piece in pieces]
    for cut in cuts[1:]:
        if cut.size != cuts[0].size:
            raise MediaError(
                f"“{plain(cut.path.name)}” has a picture of another size than “{plain(cuts[0].path.name)}”, so no "
                "clip can go from one into the other; cut up to the border and from it on"
            )
    with _unfinished(out) as part:
        for run_up in (_RUN_UP, None):
            options = {"f": muxer, **_ENCODERS[muxer], **_KEEPING_TIMES, **_BARE}
            run(
                ffmpeg.output(*_joined(cuts, run_up), file_url(part), **options),
                sum(cut.end - cut.start for cut in cuts),
                progress,
            )
            if _is_whole(cuts, part):
                return _silenced(cuts)
    raise MediaError(f"“{plain(out.name)}” was not written: frames would be missing in it; convert the recording first")


def copy_from_key_frame(piece: Piece, out: Path, progress: Progress = silent) -> Ms:
    """Write a piece without encoding it anew; returns by how many ms it begins earlier than asked.

    It begins with the last key frame at or before the piece, and may end with a frame or two from shortly after it.
    """
    muxer = muxer_for(out)
    cut = _surveyed(piece)
    with opened(piece.path) as container:
        kept_tracks(container, piece.path, muxer)
    begin = _key_frame_before(piece.path, cut.start)
    source = ffmpeg.input(
        file_url(cut.path), f=demuxer_of(cut.path), protocol_whitelist="file", fflags="+genpts", ss=_seconds(begin)
    )
    tracks = [source[str(number)] for number in (cut.picture, cut.sound) if number is not None]
    with _unfinished(out) as part:
        length = cut.end - begin
        options = {"f": muxer, "c": "copy", "t": _seconds(length), "avoid_negative_ts": "make_zero", **_BARE}
        run(ffmpeg.output(*tracks, file_url(part), **options), length, progress)
        if len(read_index(part)) < cut.stop - cut.first:
            raise MediaError(
                f"“{plain(out.name)}” was not written: frames cannot be copied whole out of this recording; "
                "have the clip encoded anew"
            )
    return cut.start - begin


@contextmanager
def _unfinished(out: Path) -> Iterator[Path]:
    """A name to write to, that becomes `out` if all goes well and is taken away if not."""
    if not out.absolute().parent.is_dir():
        raise MediaError(f"There is no folder “{plain(str(out.absolute().parent))}”; make it first, or name another")
    part = out.absolute().with_name(f".annotator-{secrets.token_hex(8)}.part")
    try:
        yield part
        part.replace(out)
    except FfmpegFailed as failure:
        raise MediaError(_why(out, str(failure))) from failure
    except OSError as error:
        raise MediaError(f"“{plain(out.name)}” cannot be written: {plain(error.strerror or str(error))}") from error
    finally:
        part.unlink(missing_ok=True)


def _why(out: Path, complaint: str) -> str:
    if "No space left on device" in complaint:
        return f"“{plain(out.name)}” cannot be written: the drive is full; make room, or choose another folder"
    return f"“{plain(out.name)}” cannot be written; FFmpeg says: {complaint[-300:]}"


def _surveyed(piece: Piece) -> _Cut:
    index = read_index(piece.path)
    first = index.shown_at(piece.start)
    stop = max(int(np.searchsorted(index.times, piece.end, side="left")), first + 1)
    with opened(piece.path) as container:
        picture = picture_stream(container, piece.path)
        tracks = container.streams.audio
        sound = preferred(tracks).index if tracks else None
        size = (picture.codec_context.width, picture.codec_context.height)
        return _Cut(piece.path, index, first, stop, picture.index, sound, size)


def _joined(cuts: Sequence[_Cut], run_up: Ms | None) -> list[Any]:  # ffmpeg-python is untyped
    """The streams to encode, of all pieces; sound only where all have it."""
    with_sound = all(cut.sound is not None for cut in cuts)
    streams = [stream for cut in cuts for stream in _trimmed(cut, run_up, with_sound)]
    if len(cuts) == 1:
        return streams
    joined = ffmpeg.concat(*streams, v=1, a=int(with_sound)).node
    return [joined[at] for at in range(1 + with_sound)]


def _trimmed(cut: _Cut, run_up: Ms | None, with_sound: bool) -> Iterator[Any]:
    """Picture, and sound, of a piece. Bounds of the picture lie halfway between frames, where no rounding matters."""
    begin = 0 if run_up is None else max(cut.start - run_up, 0)
    seek = {"ss": _seconds(begin)} if begin else {}
    source = ffmpeg.input(
        file_url(cut.path), f=demuxer_of(cut.path), protocol_whitelist="file", fflags="+genpts", **seek
    )
    bounds: dict[str, str] = {}
    if cut.first:
        bounds["start"] = _seconds(_between(cut, cut.first) - begin)
    if cut.stop < len(cut.frames):
        bounds["end"] = _seconds(_between(cut, cut.stop) - begin)
    picture = source[str(cut.picture)].filter("trim", **bounds) if bounds else source[str(cut.picture)]
    # H.264 and VP9 with 4:2:0 need even sides.
    yield picture.filter("setpts", "PTS-STARTPTS").filter("pad", "ceil(iw/2)*2", "ceil(ih/2)*2")
    if with_sound:
        heard = source[str(cut.sound)].filter("atrim", start=_seconds(cut.start - begin), end=_seconds(cut.end - begin))
        yield heard.filter("asetpts", "PTS-STARTPTS")


def _between(cut: _Cut, frame: int) -> float:
    """Halfway between a frame and the one before, in ms. Stored times are rounded up by less than one."""
    before, at = int(cut.frames.times[frame - 1]), int(cut.frames.times[frame])
    return (before + at - 1) / 2


def _seconds(ms: float) -> str:
    return f"{ms / SECOND:.6f}"


def _is_whole(cuts: Sequence[_Cut], written: Path) -> bool:
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


def _silenced(cuts: Sequence[_Cut]) -> tuple[str, ...]:
    mute = [cut.path.name for cut in cuts if cut.sound is None]
    if mute and len(mute) < len(cuts):
        return (f"“{plain(mute[0])}” has no sound, so the clip that goes across has none",)
    return ()


def _key_frame_before(path: Path, ms: Ms) -> Ms:
    """The time of the last key frame at or before `ms`; 0 where the container does not tell."""
    with opened(path) as container:
        stream = picture_stream(container, path)
        zero, tick = zero_of(container, stream), ticks(stream)
        try:
            container.seek(int((zero + ms / SECOND) / tick), stream=stream)
            first = next((one for one in container.demux(stream) if one.pts is not None), None)
        except (av.error.FFmpegError, OSError):
            return 0
    found = 0 if first is None or first.pts is None else from_ticks(first.pts, tick, zero)
    return found if 0 <= found <= ms else 0
