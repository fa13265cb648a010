"""A small copy of a recording to move about in: the same frames at the same times, a key frame every few of them.

In a recording a jump may have to decode hundreds of large pictures before it can show one; in the copy it is
ten small ones at most. The copy is for looking only, and never takes the recording's place in what is published.
"""

from fractions import Fraction
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from av.video.reformatter import Colorspace

from annotator.errors import MediaError
from annotator.media.container.decoding import first_picture
from annotator.media.container.opening import demuxer_of, exact, file_url, opened, picture_stream, preferred
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from annotator.media.pictures.picture import display_size, guessed_colours, orientation_of
from annotator.media.write.ffmpeg_graph import encoded
from annotator.media.write.ffmpeg_run import FfmpegFailed, run
from annotator.model.timecode import SECOND, Ms
from annotator.plain_text import plain
from annotator.progress import Progress, silent

LONGEST_SIDE: Final = 640
"""Pixels of the copy's picture."""

GROUP: Final = 10
"""Frames from one key frame to the next. Measured on 1080p60: a jump takes 3 ms with 6, 10 or 15 of them, while
the file is a quarter larger with 6 than with 10."""

_ROUNDING: Final[Ms] = 1
"""By which a container may move a frame."""

_PICTURE: Final[dict[str, object]] = {
    "c:v": "libx264",
    "preset": "veryfast",
    "crf": 25,
    "g": GROUP,
    "bf": 0,
    "sc_threshold": 0,
}

_COPIED: Final = frozenset({"aac", "alac", "mp3", "ac3", "eac3", "opus", "flac"})
"""Forms of sound that MP4 takes as they are."""

_MATRIX: Final = {None: "auto", Colorspace.ITU709: "bt709", Colorspace.ITU601: "bt601"}
"""FFmpeg's names for how colours are to be understood."""

_ENCODED_SOUND: Final[dict[str, object]] = {"c:a": "aac", "b:a": "128k"}


class ReviewCopy(NamedTuple):
    """A copy that was found to be whole, and the ms by which its frames come after the recording's.

    `shift` is 0 unless the recording begins with something that is not in the copy: captions, or nothing at all.
    """

    path: Path
    shift: Ms


class _Plan(NamedTuple):
    """What becomes of which tracks; the size is upright and in square pixels, and `turned` makes FFmpeg turn
    the picture as a player does.
    """

    picture: int
    sound: int | None
    sound_form: str
    size: tuple[int, int]
    matrix: str
    turned: dict[str, object]


def write_review_copy(path: Path, index: FrameIndex, out: Path, progress: Progress = silent) -> ReviewCopy:
    """Write the copy of a recording with these frames as `out`, an MP4 whatever its name ends in.

    `progress` counts ms of the recording. MediaError where the copy would not hold the same frames at the same
    times, or cannot be written; `out` may then hold a part of it, as it may when `progress` stops the work.
    """
    plan = _plan(path)
    complaint = ""
    for sound in dict.fromkeys((_copied_sound(plan), tuple(_ENCODED_SOUND.items()))):
        try:
            run(_graph(path, index, plan, dict(sound), out), index.end, progress, behind=True)
        except FfmpegFailed as failure:
            complaint = str(failure)
        else:
            if copy := review_copy_at(out, index):
                return copy
    raise MediaError(_why(path, complaint))


def review_copy_at(path: Path, index: FrameIndex) -> ReviewCopy | None:
    """The review copy of a recording with these frames, or None where the file is not one, whole."""
    try:
        found = read_index(path)
    except MediaError:
        return None
    if len(found) != len(index) or found.notes:
        return None
    apart = found.times - index.times
    shift = round(float(np.median(apart)))
    return ReviewCopy(path, shift) if int(np.abs(apart - shift).max()) <= _ROUNDING else None


def _why(path: Path, complaint: str) -> str:
    name = f"“{plain(path.name)}”"
    if "No space left on device" in complaint:
        return f"There is no space for a review copy of {name}; jumps in it take longer"
    said = f"; FFmpeg says: {complaint[-200:]}" if complaint else ""
    return f"No review copy of {name} can be made with the same frames; jumps in it take longer{said}"


def _plan(path: Path) -> _Plan:
    with opened(path) as container:
        stream = picture_stream(container, path)
        tracks = container.streams.audio
        sound = preferred(tracks) if tracks else None
        context = sound.codec_context if sound else None
        frame = first_picture(container, stream, path)
        wide, high = display_size(frame.width, frame.height, exact(stream.sample_aspect_ratio))
        orientation = orientation_of(frame)
        if orientation.transposed:
            wide, high = high, wide
        return _Plan(
            picture=stream.index,
            sound=sound.index if sound and context else None,
            sound_form=context.codec.canonical_name if context else "",
            size=_scaled(wide, high),
            matrix=_MATRIX[guessed_colours(frame)],
            turned=orientation.for_ffmpeg,
        )


def _scaled(wide: int, high: int) -> tuple[int, int]:
    """The size made small; H.264 with 4:2:0 needs even sides."""
    shrink = min(Fraction(LONGEST_SIDE, max(wide, high)), Fraction(1))
    return max(2 * round(wide * shrink / 2), 2), max(2 * round(high * shrink / 2), 2)


def _copied_sound(plan: _Plan) -> tuple[tuple[str, object], ...]:
    return (("c:a", "copy"),) if plan.sound_form in _COPIED else tuple(_ENCODED_SOUND.items())


def _graph(path: Path, index: FrameIndex, plan: _Plan, sound: dict[str, object], out: Path) -> Any:
    """The graph that makes the copy; ffmpeg-python is untyped."""
    import ffmpeg  # only where something is made: it takes a while to load

    demuxer = demuxer_of(path)
    source = ffmpeg.input(file_url(path), f=demuxer, protocol_whitelist="file", fflags="+genpts", **plan.turned)
    picture = source[str(plan.picture)]
    if demuxer == "avi" and index.rate is not None:
        picture = _counted(picture, index, index.rate)
    wide, high = plan.size
    small = picture.filter(
        "scale", wide, high, flags="area", in_color_matrix=plan.matrix, out_color_matrix="bt709", out_range="tv"
    )
    tracks = [small.filter("setsar", 1).filter("format", "yuv420p")]
    if plan.sound is not None:
        tracks.append(source[str(plan.sound)])
    options = {"f": "mp4", **_PICTURE, **(sound if plan.sound is not None else {})}
    return encoded(tracks, out, {**options, "map_metadata": -1, "map_chapters": -1})


def _counted(picture: Any, index: FrameIndex, rate: Fraction) -> Any:
    """AVI holds no presentation stamps, and those that FFmpeg makes up for it ignore the order of B pictures."""
    first = Fraction(int(index.times[0]), SECOND)
    stamp = f"(N*{rate.denominator}/{rate.numerator}+{first.numerator}/{first.denominator})/TB"
    return picture.filter("settb", "1/90000").filter("setpts", stamp).filter("trim", end_frame=len(index))
