"""Frames and sound into a file, through the FFmpeg that comes with imageio-ffmpeg."""

import subprocess
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from typing import IO, Any, cast

import ffmpeg
from imageio_ffmpeg import get_ffmpeg_exe

from .clock import UNEVEN, Clock
from .containers import Refused, container_of
from .finish import Frame


@dataclass(frozen=True)
class Quality:
    """crf: constant quality, lower is better; gop: frames between key frames at most."""

    crf: int
    gop: int


def encode(
    path: Path, frames: Iterable[Frame], size: tuple[int, int], clock: Clock, sound: Path | None, quality: Quality
) -> None:
    """Write a file of the kind that its name asks for. Raises Refused where FFmpeg cannot."""
    kind = container_of(path)
    if clock.variable and not kind.variable:
        raise Refused(f"{path.name}: {path.suffix} holds one frame rate only; take .mp4, .mkv or .mov")
    video = ffmpeg.input("pipe:0", format="rawvideo", pixel_format="rgb24", video_size=size, framerate=str(clock.rate))
    video = video.filter("scale", out_color_matrix="bt709", out_range="pc" if kind.video["vcodec"] == "mjpeg" else "tv")
    options: dict[str, Any] = {**kind.video, **kind.muxer, **_quality(kind.video["vcodec"], quality), **_EXACT}
    if clock.variable:
        video = video.filter("settb", str(clock.unit)).filter("setpts", _uneven())
        options |= {"fps_mode:v": "passthrough", "enc_time_base:v": str(clock.unit)}
    streams = [video]
    if sound is not None:
        streams.append(ffmpeg.input(str(sound)).audio)
        options |= kind.audio
    graph = ffmpeg.output(*streams, str(path), **options).global_args("-v", "error", "-nostdin").overwrite_output()
    _feed(graph.compile(cmd=get_ffmpeg_exe()), frames)


_EXACT = {
    "fflags": "+bitexact",
    "flags:v": "+bitexact",
    "flags:a": "+bitexact",
    "colorspace": "bt709",
    "color_primaries": "bt709",
    "color_trc": "bt709",
}
"""No version or date in the file, so that the same frames make the same bytes; and which colours are meant."""


def _quality(codec: object, quality: Quality) -> dict[str, str | int]:
    if codec == "mjpeg":
        return {"q:v": 4}
    tuned: dict[str, str | int] = {"x264-params": "aq-mode=3:aq-strength=0.9"} if codec == "libx264" else {}
    return {"crf": quality.crf, "g": quality.gop, **tuned}


def _uneven() -> str:
    """FFmpeg's expression for Clock.units of frame N."""
    starts = list(accumulate(UNEVEN, initial=0))
    within = "+".join(f"{length}*gt(mod(N,{len(UNEVEN)}),{number})" for number, length in enumerate(UNEVEN))
    return f"floor(N/{len(UNEVEN)})*{starts[-1]}+{within}"


def _feed(command: list[str], frames: Iterable[Frame]) -> None:
    """Run FFmpeg on raw frames; it is ended whatever happens here."""
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(command, stdin=subprocess.PIPE, stderr=said)
        try:
            with suppress(BrokenPipeError), cast(IO[bytes], process.stdin) as pipe:
                for frame in frames:
                    pipe.write(frame.data)
            failed = process.wait() != 0
        finally:
            process.kill()
            process.wait()
        if failed:
            said.seek(0)
            raise Refused(f"FFmpeg stopped: {said.read(400).decode(errors='replace').strip()}")


def run(graph: Any) -> None:
    """Run an FFmpeg graph that needs no frames from here. Raises Refused."""
    _feed(graph.global_args("-v", "error", "-nostdin").overwrite_output().compile(cmd=get_ffmpeg_exe()), ())
