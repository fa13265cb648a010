"""Small recordings of many kinds, made with FFmpeg, whose pictures carry their own number as bars.

The numbers are drawn into raw pictures here and read back from decoded ones, so that nothing of the
program's own reckoning of time lies between. Each recording is made when first asked for, once a run.
"""

import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT, BITS = 160, 96, 8
BAR = WIDTH // BITS
BLACK, WHITE = 16, 235

Films = Callable[[str], Path]
"""Gives the path of a film by its name in `FILMS`."""


@dataclass(frozen=True)
class Film:
    """How a recording is made.

    args      arguments of FFmpeg behind its input
    rate      pictures a second of what is drawn
    frames    how many are drawn
    shown     the numbers of those that a player shows, in order; None for all
    sound     whether there is a tone beside the picture
    of        the name of another film that is copied instead of drawing
    before    arguments of FFmpeg in front of the input
    """

    args: Sequence[str] = ()
    rate: str = "30"
    frames: int = 45
    shown: Sequence[int] | None = None
    sound: bool = False
    of: str | None = None
    before: Sequence[str] = ()

    @property
    def numbers(self) -> list[int]:
        """What the pictures on screen say, one after the other."""
        return list(range(self.frames) if self.shown is None else self.shown)

    @property
    def exact_rate(self) -> Fraction:
        return Fraction(self.rate)


def picture(number: int) -> NDArray[np.uint8]:
    """One grey picture, full of bars: white for each bit of the number that is set."""
    bits = np.array([number >> bit & 1 for bit in range(BITS)], dtype=np.uint8)
    row = np.repeat(np.where(bits == 1, WHITE, BLACK).astype(np.uint8), BAR)
    return np.tile(row, (HEIGHT, 1))


def read_number(rgb: NDArray[np.uint8]) -> int:
    """The number in an upright picture of any size."""
    height, width, _ = rgb.shape
    row = rgb[height // 4 : height // 2, :, 1].mean(axis=0)
    return sum(int(row[round((bit + 0.5) * width / BITS)] > 128) << bit for bit in range(BITS))


def ffmpeg(*args: str, given: bytes | None = None) -> None:
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", *args]
    done = subprocess.run(command, input=given or b"", capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode(errors="replace")


def make(film: Film, path: Path, source: Path | None = None) -> Path:
    """Make the recording; `source` is the one that is copied, if any."""
    if source is not None:
        ffmpeg(*film.before, "-i", str(source), *film.args, str(path))
        return path
    drawn = [
        "-f",
        "rawvideo",
        "-pix_fmt",
        "gray",
        "-s",
        f"{WIDTH}x{HEIGHT}",
        "-r",
        film.rate,
        *film.before,
        "-i",
        "pipe:",
    ]
    tone = ["-f", "lavfi", "-i", f"sine=frequency=330:duration={float(film.frames / film.exact_rate):.3f}"]
    pictures = b"".join(picture(number).tobytes() for number in range(film.frames))
    ffmpeg(*drawn, *(tone if film.sound else ()), *film.args, str(path), given=pictures)
    return path


_H264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-g", "12")
_B = ("-bf", "2", "-g", "15", "-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv420p")
_EVERY_KEY = (*_H264[:-1], "1")
_HEVC = ("-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=error:keyint=15")
_VP9 = ("-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-g", "15")
_AV1 = ("-c:v", "libaom-av1", "-cpu-used", "8", "-usage", "realtime", "-g", "15")
_THINNED = ("-vf", "select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr")
_KEPT = [number for number in range(60) if number % 3 == 0 or number % 7 == 1]

TURNED = ("turned", "mirrored", "askew")
"""What the names of recordings begin with that are not shown as they are stored."""

FILMS: dict[str, Film] = {
    "h264.mp4": Film(_H264),
    "h264_b.mp4": Film(_B, sound=True),
    "h264_10bit.mp4": Film(("-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv420p10le", "-bf", "2")),
    "h264.mov": Film(_B, "24000/1001", sound=True),
    "h264.mkv": Film(_B, "60000/1001", 90, sound=True),
    "h264.avi": Film(_H264, "25"),
    "every_key.mp4": Film(_EVERY_KEY),
    "every_key.mkv": Film(_EVERY_KEY),
    "hevc.mp4": Film((*_HEVC, "-pix_fmt", "yuv420p")),
    "hevc_10bit.mkv": Film((*_HEVC, "-pix_fmt", "yuv420p10le"), "50"),
    "mpeg2.ts": Film(("-c:v", "mpeg2video", "-q:v", "4", "-bf", "2", "-g", "15"), "25", sound=True),
    "mpeg2.mpg": Film(
        ("-c:v", "mpeg2video", "-q:v", "4", "-bf", "2", "-g", "15", "-c:a", "mp2", "-f", "vob"), "25", sound=True
    ),
    "mpeg4.avi": Film(("-c:v", "mpeg4", "-q:v", "4", "-c:a", "pcm_s16le"), "25", sound=True),
    "mpeg4.mp4": Film(("-c:v", "mpeg4", "-q:v", "4", "-bf", "2")),
    "mjpeg.avi": Film(("-c:v", "mjpeg", "-q:v", "4", "-pix_fmt", "yuvj420p"), "25"),
    "mjpeg.mov": Film(("-c:v", "mjpeg", "-q:v", "4", "-pix_fmt", "yuvj420p"), "25"),
    "prores.mov": Film(("-c:v", "prores_ks", "-profile:v", "0", "-pix_fmt", "yuv422p10le"), "25", 20),
    "vp8.webm": Film(("-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "1M"), sound=True),
    "vp9.webm": Film(_VP9, "30000/1001", sound=True),
    "vp9_10bit.webm": Film((*_VP9, "-pix_fmt", "yuv420p10le"), frames=20),
    "av1.mp4": Film((*_AV1, "-pix_fmt", "yuv420p"), frames=20),
    "av1_10bit.mkv": Film((*_AV1, "-pix_fmt", "yuv420p10le"), frames=20),
    "avchd.mts": Film((*_B, "-f", "mpegts", "-mpegts_m2ts_mode", "1", "-c:a", "ac3"), "25", sound=True),
    "ntsc.mp4": Film(_B, "30000/1001", 90),
    "ntsc60.ts": Film(_B, "60000/1001", 90),
    "variable.mp4": Film((*_B, *_THINNED), "60", 60, _KEPT),
    "variable.mkv": Film((*_B, *_THINNED), "60", 60, _KEPT),
    "late.ts": Film((*_B, "-output_ts_offset", "7.123"), "30000/1001", sound=True),
    "late.mp4": Film((*_B, "-output_ts_offset", "7.123"), "30000/1001", sound=True),
    "late.mkv": Film((*_B, "-output_ts_offset", "7.123"), "30000/1001", sound=True),
    "picture_after_sound.mp4": Film(_B, before=("-itsoffset", "0.5"), sound=True),
    "fragmented.mp4": Film((*_B, "-movflags", "frag_keyframe+empty_moov"), "30000/1001"),
    "trimmed.mp4": Film(("-c", "copy"), shown=range(21, 45), of="h264_b.mp4", before=("-ss", "0.7")),
    "trimmed_between.mp4": Film(("-c", "copy"), shown=range(22, 45), of="h264_b.mp4", before=("-ss", "0.71")),
    "trimmed.mov": Film(("-c", "copy"), shown=range(21, 45), of="h264_b.mp4", before=("-ss", "0.7")),
    "open_gop.ts": Film(
        (
            "-c:v",
            "libx264",
            "-pix_fmt",
            "yuv420p",
            "-x264-params",
            "keyint=15:min-keyint=15:open-gop=1:bframes=2:b-adapt=0",
        )
    ),
    "open_gop_cut.ts": Film(("-c", "copy"), shown=range(30, 45), of="open_gop.ts", before=("-ss", "0.6")),
    "interlaced.mp4": Film(
        ("-c:v", "libx264", "-pix_fmt", "yuv420p", "-flags", "+ildct+ilme", "-x264opts", "tff=1"), "25"
    ),
    "interlaced.mpg": Film(
        ("-vf", "setfield=tff", "-c:v", "mpeg2video", "-q:v", "4", "-flags", "+ildct+ilme", "-bf", "2", "-f", "vob"),
        "25",
    ),
    "anamorphic.mp4": Film((*_H264, "-vf", "setsar=64/45")),
    "narrow.mkv": Film((*_H264, "-vf", "setsar=3/4")),
    "turned90.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_rotation", "-90")),
    "turned180.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_rotation", "180")),
    "turned270.mov": Film(("-c", "copy"), of="anamorphic.mp4", before=("-display_rotation", "90")),
    "mirrored.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_hflip",)),
    "mirrored_down.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_vflip",)),
    "mirrored_turned.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_rotation", "90", "-display_hflip")),
    "askew30.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_rotation", "30")),
    "askew50.mp4": Film(("-c", "copy"), of="anamorphic.mp4", before=("-display_rotation", "50")),
    "askew_mirrored.mp4": Film(("-c", "copy"), of="h264.mp4", before=("-display_rotation", "50", "-display_hflip")),
    "hours.mp4": Film(_H264, "1/60", 240),
    "hours.mkv": Film(_H264, "1/60", 240),
}
"""Common practice of recorders, cameras and archives; which codec comes in which container is no source of ours."""
