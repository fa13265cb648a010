"""Reading recordings: the frame index, pictures by time, the film strip, and memory for a long recording."""

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import av
import imageio_ffmpeg

from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import frame_at, key_frames
from tests.benchmarks.measurement import Measurement, in_turn

SECONDS = 10
AN_HOUR = 3_600 // SECONDS
RATE = 60

# Linux tells a process that a large one started that it was as large itself, unless asked for this figure.
_PEAK = """
import resource, sys
from pathlib import Path
path = Path(sys.argv[1])
{work}
status = Path("/proc/self/status")
if status.exists():
    print(int(status.read_text().split("VmHWM:")[1].split()[0]) / 2**10)
else:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20)
"""
_INDEX = "from annotator.media.index.reader import read_index\nread_index(path)"
_BARE = (
    "import av\nwith av.open(str(path)) as container:\n    for _ in container.demux(container.streams.video[0]): pass"
)


def measurements() -> Iterator[Measurement]:
    with tempfile.TemporaryDirectory(prefix="annotator-bench-") as folder:
        short = drawn(Path(folder, "short.mp4"), "1M")
        for ending, name in ((".mp4", "MP4"), (".mkv", "Matroska"), (".ts", "MPEG-TS")):
            yield _index(name, looped(short, Path(folder, f"hour{ending}"), AN_HOUR))
        if sys.platform != "win32":
            long = looped(short, Path(folder, "long.mkv"), 3 * AN_HOUR)
            index, bare = _peak(_INDEX, long), _peak(_BARE, long)
            yield Measurement("peak memory for three hours of 1080p60", index, "a bare PyAV demux loop", bare, "MB")
        yield from _pictures(looped(drawn(short, "8M"), Path(folder, "minutes.mp4"), 12))


def _index(name: str, hour: Path) -> Measurement:
    index, bare = in_turn(lambda: read_index(hour), lambda: _demux(hour), runs=3)
    hour.unlink()
    return Measurement(f"frame index of an hour of 1080p60 in {name}", index, "a bare PyAV demux loop", bare, aim=1.5)


def _pictures(path: Path) -> Iterator[Measurement]:
    strip, bare = in_turn(lambda: _count(key_frames(path, 160)), lambda: decode_keys(path), runs=5)
    yield Measurement(
        "film strip of 120 key frames, 1080p to 160 wide", strip, "a bare key-frame decode", bare, aim=1.2
    )
    shown, bare = in_turn(lambda: frame_at(path, 67_890), lambda: _seek_and_decode(path, 67.89), runs=5)
    yield Measurement("the picture at a time, 1080p", shown, "a bare seek and decode to RGB", bare)


def drawn(path: Path, bits: str, group: int = RATE) -> Path:
    """Seconds of 1080p60 with a key frame every `group` pictures."""
    source = ["-f", "lavfi", "-i", f"testsrc2=s=1920x1080:r={RATE}:d={SECONDS}", "-vf", "noise=alls=6:allf=t"]
    coded = [
        "-c:v",
        "libx264",
        "-preset",
        "ultrafast",
        "-bf",
        "2",
        "-g",
        str(group),
        "-sc_threshold",
        "0",
        "-b:v",
        bits,
        "-pix_fmt",
        "yuv420p",
    ]
    return _ffmpeg(*source, *coded, str(path))


def looped(source: Path, path: Path, times: int) -> Path:
    return _ffmpeg("-stream_loop", str(times - 1), "-i", str(source), "-c", "copy", str(path))


def _ffmpeg(*args: str) -> Path:
    subprocess.run([imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", *args], check=True, stdin=subprocess.DEVNULL)
    return Path(args[-1])


def _demux(path: Path) -> None:
    with av.open(str(path)) as container:
        for _ in container.demux(container.streams.video[0]):
            pass


def decode_keys(path: Path) -> None:
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        stream.codec_context.skip_frame = "NONKEY"
        _count(container.decode(stream))


def _seek_and_decode(path: Path, seconds: float) -> object:
    with av.open(str(path)) as container:
        container.seek(int(seconds * av.time_base))
        return next(
            frame.to_ndarray(format="rgb24") for frame in container.decode(video=0) if frame.time >= seconds - 1 / RATE
        )


def _count(things: Iterator[object]) -> int:
    return sum(1 for _ in things)


def _peak(work: str, path: Path) -> float:
    """Megabytes that a process of its own takes at most."""
    script = _PEAK.format(work=work)
    return float(
        subprocess.run([sys.executable, "-c", script, str(path)], capture_output=True, check=True, text=True).stdout
    )
