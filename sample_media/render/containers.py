"""What each kind of file is made with, chosen by the name of the output."""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path


class Refused(Exception):
    """A wish that cannot be met; the message says why and what to do instead."""


@dataclass(frozen=True)
class Container:
    """Encoders of a container, with their options for FFmpeg.

    tick    the unit in which it keeps time stamps where that is too coarse to be exact, else None
    lead    how far the sound's run-in comes before the first picture where the container keeps it, in seconds
    """

    video: dict[str, str | int]
    audio: dict[str, str | int]
    muxer: dict[str, str | int]
    tick: Fraction | None = None
    lead: Fraction = Fraction(0)
    variable: bool = True


_H264: dict[str, str | int] = {"vcodec": "libx264", "preset": "medium", "pix_fmt": "yuv420p", "threads": 2}
_AAC: dict[str, str | int] = {"acodec": "aac", "audio_bitrate": "64k"}
_FAST: dict[str, str | int] = {"movflags": "+faststart"}
_RUN_IN_AAC = Fraction(1024, 48_000)

CONTAINERS = {
    ".mp4": Container(_H264, _AAC, _FAST),
    ".mov": Container(_H264, _AAC, _FAST),
    ".mkv": Container(_H264, _AAC, {}, Fraction(1, 1000)),
    ".webm": Container(
        {"vcodec": "libvpx-vp9", "pix_fmt": "yuv420p", "b:v": 0, "deadline": "realtime", "cpu-used": 7, "threads": 2},
        {"acodec": "libopus", "audio_bitrate": "64k"},
        {},
        Fraction(1, 1000),
    ),
    ".avi": Container({"vcodec": "mjpeg", "pix_fmt": "yuvj420p"}, {"acodec": "pcm_s16le"}, {}, variable=False),
    ".ts": Container(_H264, _AAC, {}, Fraction(1, 90_000), _RUN_IN_AAC),
}


def container_of(path: Path) -> Container:
    """The container by the ending of a file's name. Raises Refused."""
    try:
        return CONTAINERS[path.suffix.lower()]
    except KeyError:
        raise Refused(
            f"{path.name}: no such kind of recording is made; end the name in {', '.join(CONTAINERS)}"
        ) from None
