"""A long recording in little time: a short scene joined to itself by stream copy."""

from fractions import Fraction
from pathlib import Path

import ffmpeg

from .containers import container_of
from .encode import run


def repeat(scene: Path, wave: Path | None, times: int, length: Fraction, out: Path) -> None:
    """Write `times` copies of a silent scene of `length` seconds end to end, with its sound looped beside.

    `length` must be a whole number of microseconds, the unit in which FFmpeg's joiner is told it; three frames
    of any usual rate are.
    """
    listing = scene.with_suffix(".txt")
    entry = f"file '{scene.name}'\nduration {float(length):.6f}\n"
    listing.write_text("ffconcat version 1.0\n" + entry * times, encoding="utf-8")
    kind = container_of(out)
    streams = [ffmpeg.input(str(listing), format="concat", safe=0).video]
    options: dict[str, str | int | float] = {"vcodec": "copy", **kind.muxer, "fflags": "+bitexact"}
    if wave is not None:
        voice = scene.with_name("sound.mka")
        run(ffmpeg.output(ffmpeg.input(str(wave)).audio, str(voice), **kind.audio))
        streams.append(ffmpeg.input(str(voice), stream_loop=-1).audio)
        options |= {"acodec": "copy", "t": float(length * times)}
    run(ffmpeg.output(*streams, str(out), **options))
