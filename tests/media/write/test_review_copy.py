"""Review copies: the same frames at the same times as the recording, told by the bar codes on the pictures."""

import os
import select
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest

from annotator.errors import Cancelled, MediaError
from annotator.media.cache.review_cache import ReviewCache
from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import FrameReader
from annotator.media.pictures.picture import Rgb
from annotator.media.write.review_copy import GROUP, LONGEST_SIDE, ReviewCopy, review_copy_at, write_review_copy
from annotator.model.timecode import Ms
from tests.media.films import FILMS, ffmpeg, read_number

Filmed = Callable[[str], Path]

ODD = [
    *("h264_b.mp4", "h264_10bit.mp4", "h264.mov", "h264.mkv", "hevc_10bit.mkv", "mpeg2.ts", "mpeg2.mpg", "vp9.webm"),
    *("mpeg4.avi", "avchd.mts", "ntsc60.ts", "variable.mp4", "variable.mkv", "late.ts", "late.mp4", "late.mkv"),
    *("picture_after_sound.mp4", "fragmented.mp4", "trimmed_between.mp4", "open_gop_cut.ts", "interlaced.mpg"),
    *("interlaced.mp4", "anamorphic.mp4", "narrow.mkv", "hours.mkv", "av1.mp4"),
]


@pytest.fixture
def copied(tmp_path: Path) -> Callable[[Path], ReviewCopy]:
    def make(film: Path) -> ReviewCopy:
        return write_review_copy(film, read_index(film), tmp_path / "copy")

    return make


def middles(path: Path, shift: Ms = 0) -> list[Ms]:
    """A time inside each frame of a recording."""
    index = read_index(path)
    return [
        int(start + end) // 2 + shift for start, end in zip(index.times, [*index.times[1:], index.end], strict=True)
    ]


def pictures(path: Path, at: list[Ms]) -> list[Rgb]:
    with FrameReader(path) as reader:
        return [reader.at(ms) for ms in at]


def bright_spots(picture: Rgb) -> list[bool]:
    """Whether it is bright along its middle lines: no two ways of standing have that in common."""
    high, wide, _ = picture.shape
    along = [(2 * step + 1) / 16 for step in range(8)]
    return [
        *(bool(picture[int(high * share), wide // 2, 1] > 128) for share in along),
        *(bool(picture[high // 2, int(wide * share), 1] > 128) for share in along),
    ]


@pytest.mark.parametrize("name", ODD)
def test_it_holds_the_same_frames_at_the_same_times(
    name: str, film: Filmed, copied: Callable[[Path], ReviewCopy]
) -> None:
    source = film(name)
    before = source.read_bytes()
    copy = copied(source)
    assert copy.shift == 0
    assert np.abs(read_index(copy.path).times - read_index(source).times).max() <= 1
    assert [read_number(one) for one in pictures(copy.path, middles(source))] == FILMS[name].numbers
    assert source.read_bytes() == before


@pytest.mark.parametrize(
    "args", [("-c:v", "libx264", "-pix_fmt", "yuv420p"), ("-c:v", "mpeg4", "-q:v", "4")], ids=["h264", "mpeg4"]
)
@pytest.mark.parametrize("sound", [True, False], ids=["with sound", "silent"])
def test_pictures_out_of_order_in_avi(
    args: tuple[str, ...], sound: bool, film: Filmed, tmp_path: Path, copied: Callable[[Path], ReviewCopy]
) -> None:
    """AVI has no presentation stamps; which frames a player shows when, the frame index tells (and its own tests)."""
    source = tmp_path / "b.avi"
    tone = ("-f", "lavfi", "-i", "sine=frequency=330:duration=1.5") if sound else ()
    ffmpeg("-i", str(film("ntsc.mp4")), *tone, *args, "-bf", "2", "-g", "30", str(source))
    copy, times = copied(source), middles(source)
    shown = [read_number(one) for one in pictures(source, times)]
    assert len(set(shown)) == len(times)
    assert [read_number(one) for one in pictures(copy.path, middles(source, copy.shift))] == shown


@pytest.mark.parametrize(
    "name",
    ["turned90.mp4", "turned180.mp4", "turned270.mov", "mirrored.mp4", "askew30.mp4", "askew50.mp4", "anamorphic.mp4"],
)
def test_it_stands_upright_in_square_pixels(name: str, film: Filmed, copied: Callable[[Path], ReviewCopy]) -> None:
    source = film(name)
    (original,), (small,) = pictures(source, [500]), pictures(copied(source).path, [500])
    assert small.shape[0] / small.shape[1] == pytest.approx(original.shape[0] / original.shape[1], rel=0.01)
    assert bright_spots(small) == bright_spots(original)


@pytest.mark.parametrize("size", ["1280x720", "720x576"], ids=["high definition", "standard definition"])
def test_colours_are_the_recordings(size: str, tmp_path: Path, copied: Callable[[Path], ReviewCopy]) -> None:
    """What a recording does not say of its colours is taken alike for the recording and its copy."""
    source = tmp_path / "bars.mp4"
    ffmpeg("-f", "lavfi", "-i", f"smptehdbars=s={size}:d=0.2", "-c:v", "libx264", "-pix_fmt", "yuv420p", str(source))
    (original,), (small,) = pictures(source, [100]), pictures(copied(source).path, [100])
    assert max(small.shape) == LONGEST_SIDE
    for share in (0.07, 0.2, 0.31, 0.41, 0.52, 0.63, 0.8):
        spots = [one[one.shape[0] // 4, int(share * one.shape[1])].astype(int) for one in (original, small)]
        assert np.abs(spots[0] - spots[1]).max() <= 8


def test_jumps_are_short_and_nothing_is_out_of_order(film: Filmed, copied: Callable[[Path], ReviewCopy]) -> None:
    with av.open(str(copied(film("ntsc.mp4")).path)) as container:
        packets = [(packet.pts, packet.is_keyframe) for packet in container.demux(video=0) if packet.pts is not None]
        assert [number for number, (_, is_key) in enumerate(packets) if is_key] == list(range(0, 90, GROUP))
        assert packets == sorted(packets)
        assert container.streams.video[0].codec_context.pix_fmt == "yuv420p"


@pytest.mark.parametrize(
    ("name", "form"), [("h264_b.mp4", "aac"), ("avchd.mts", "ac3"), ("mpeg4.avi", "aac"), ("ntsc.mp4", None)]
)
def test_the_sound_comes_along(name: str, form: str | None, film: Filmed, copied: Callable[[Path], ReviewCopy]) -> None:
    """Copied where MP4 takes it, encoded where it does not (raw samples), none where there is none."""
    with av.open(str(copied(film(name)).path)) as container:
        assert [stream.codec_context.name for stream in container.streams.audio] == ([form] if form else [])


def test_nothing_said_about_people_comes_along(tmp_path: Path, copied: Callable[[Path], ReviewCopy]) -> None:
    source = tmp_path / "eye.mp4"
    ffmpeg("-f", "lavfi", "-i", "testsrc2=d=1:s=160x96", "-metadata", "title=Nescio", "-c:v", "libx264", str(source))
    assert b"Nescio" in source.read_bytes()
    assert b"Nescio" not in copied(source).path.read_bytes()


# --- the folder of copies ----------------------------------------------------------------------------------


def test_a_copy_is_kept_and_found_again(film: Filmed, tmp_path: Path) -> None:
    source, cache = film("ntsc.mp4"), ReviewCache(tmp_path)
    index = read_index(source)
    assert cache.kept("content", index) is None
    reports: list[float] = []
    made = cache.make(source, "content", index, lambda done, total: reports.append(done / total))
    assert cache.kept("content", index) == made
    assert [*(tmp_path / "review").iterdir()] == [made.path]
    assert reports == sorted(reports)
    assert reports[-1] <= 1
    assert cache.kept("other content", index) is None
    assert cache.kept("content", read_index(film("h264_b.mp4"))) is None


@pytest.mark.parametrize("harm", ["cut", "emptied", "of another"])
def test_a_damaged_copy_is_ignored_and_made_again(harm: str, film: Filmed, tmp_path: Path) -> None:
    source, cache = film("ntsc.mp4"), ReviewCache(tmp_path)
    index = read_index(source)
    path = cache.make(source, "content", index).path
    whole = path.read_bytes()
    other = film("h264_b.mp4").read_bytes()
    path.write_bytes({"cut": whole[: len(whole) // 2], "emptied": b"", "of another": other}[harm])
    assert cache.kept("content", index) is None
    assert cache.make(source, "content", index) == cache.kept("content", index)


def test_stopping_leaves_nothing(tmp_path: Path) -> None:
    source, cache = tmp_path / "long.mp4", ReviewCache(tmp_path)
    ffmpeg("-f", "lavfi", "-i", "testsrc2=d=60:r=60:s=640x360", "-c:v", "libx264", "-preset", "ultrafast", str(source))

    def stop(_done: float, _total: float) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        cache.make(source, "content", read_index(source), stop)
    assert [*(tmp_path / "review").iterdir()] == []


def test_a_copy_that_differs_is_thrown_away(film: Filmed, tmp_path: Path) -> None:
    cache = ReviewCache(tmp_path)
    with pytest.raises(MediaError, match="same frames"):
        cache.make(film("ntsc.mp4"), "content", read_index(film("h264_b.mp4")))
    assert [*(tmp_path / "review").iterdir()] == []


def test_the_copy_used_longest_ago_goes_first(film: Filmed, tmp_path: Path) -> None:
    source = film("ntsc.mp4")
    index = read_index(source)
    size = ReviewCache(tmp_path / "measured").make(source, "one", index).path.stat().st_size
    cache = ReviewCache(tmp_path, most_bytes=int(2.5 * size))
    for fingerprint in ("one", "two"):
        cache.make(source, fingerprint, index)
    assert cache.kept("one", index)
    cache.make(source, "three", index)
    assert [bool(cache.kept(name, index)) for name in ("one", "two", "three")] == [True, False, True]
    with pytest.raises(MediaError, match="larger than the cache"):
        ReviewCache(tmp_path / "tiny", most_bytes=100).make(source, "one", index)


def test_a_folder_that_cannot_be_written_is_said(film: Filmed, tmp_path: Path) -> None:
    (tmp_path / "review").write_text("a file stands where the folder should be", encoding="utf-8")
    with pytest.raises(MediaError, match="can't be stored"):
        ReviewCache(tmp_path).make(film("ntsc.mp4"), "one", read_index(film("ntsc.mp4")))


def test_what_is_no_review_copy_is_told(tmp_path: Path, film: Filmed) -> None:
    words = tmp_path / "words.mp4"
    words.write_text("no recording", encoding="utf-8")
    assert review_copy_at(words, read_index(film("ntsc.mp4"))) is None
    assert review_copy_at(film("ntsc.mp4"), read_index(film("ntsc.mp4"))) is not None


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks for the child in /proc")
def test_ffmpeg_ends_with_a_program_that_is_killed(tmp_path: Path) -> None:
    source = tmp_path / "long.mp4"
    ffmpeg("-f", "lavfi", "-i", "testsrc2=d=60:r=60:s=960x540", "-c:v", "libx264", "-preset", "ultrafast", str(source))
    with subprocess.Popen(
        [sys.executable, "-c", _MAKES, str(source), str(tmp_path)], stdout=subprocess.PIPE
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == b"under way\n"
        child = int(Path(f"/proc/{program.pid}/task/{program.pid}/children").read_text(encoding="ascii"))
        watched = os.pidfd_open(child)
        program.kill()
        ended, _, _ = select.select([watched], [], [], 20)
        os.close(watched)
    assert ended


_MAKES = """
import sys
from pathlib import Path
from annotator.media.index.reader import read_index
from annotator.media.cache.review_cache import ReviewCache
source, folder = map(Path, sys.argv[1:])
def tell(done, total):
    if done:
        print("under way", flush=True)
ReviewCache(folder).make(source, "content", read_index(source), tell)
"""
