"""What FFmpeg is told to write; always so that it ends when the program that runs it does, on every system.

It takes no notice when nobody reads its progress any more, and after a kill would go on for minutes with a patient's
recording. So beside the file it writes a line of text for each picture into the pipe from which its progress is read;
once nobody reads there, writing fails, and FFmpeg ends.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from annotator.media.container.opening import file_url

_PIPE: Final = "pipe:1"
_LINE: Final[dict[str, object]] = {"f": "framecrc", "flush_packets": 1}
_KEEPING_TIMES: Final[dict[str, object]] = {"fps_mode": "passthrough", "enc_time_base": "filter"}

Stream = Any
"""ffmpeg-python is untyped."""


def encoded(tracks: Sequence[Stream], out: Path, options: Mapping[str, object]) -> Stream:
    """Write filtered tracks encoded, the first of which is the picture; each frame keeps its time."""
    import ffmpeg  # only where something is made: it takes a while to load

    picture, *others = tracks
    twice = picture.split()
    lines = ffmpeg.output(twice[1].filter("crop", 2, 2), _PIPE, **_LINE, **_KEEPING_TIMES)
    return ffmpeg.merge_outputs(
        ffmpeg.output(twice[0], *others, file_url(out), **_KEEPING_TIMES, **options),
        lines,
    )


def copied(
    tracks: Sequence[Stream],
    picture: Stream,
    out: Path,
    options: Mapping[str, object],
    length: Mapping[str, object] | None = None,
) -> Stream:
    """Write tracks as they are; `picture` is one of them, `length` what ends them early."""
    import ffmpeg  # only where something is made: it takes a while to load

    ends = length or {}
    lines = ffmpeg.output(picture, _PIPE, **_LINE, c="copy", **ends)
    return ffmpeg.merge_outputs(ffmpeg.output(*tracks, file_url(out), c="copy", **ends, **options), lines)
