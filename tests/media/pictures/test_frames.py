"""The picture at a time: by the number drawn into it, in every container, however it is asked for."""

import random
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest

from annotator.errors import MediaError
from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import FrameReader, frame_at, key_frames
from annotator.media.pictures.picture import Renderer, display_size
from tests.media.fields import write_fields
from tests.media.films import BAR, BITS, FILMS, HEIGHT, TURNED, WIDTH, Films, ffmpeg, picture, read_number

UPRIGHT = [name for name in FILMS if not name.startswith(TURNED)]


@pytest.mark.parametrize("name", UPRIGHT)
def test_the_frame_shown_at_a_time_is_the_one_the_index_names(name: str, film: Films) -> None:
    index = read_index(film(name))
    numbers = FILMS[name].numbers
    chance = random.Random(name)
    with FrameReader(film(name)) as reader:
        for _ in range(25):
            frame = chance.randrange(len(index))
            until = int(index.times[frame + 1]) if frame + 1 < len(index) else index.end
            ms = chance.choice([int(index.times[frame]), until - 1, chance.randrange(int(index.times[frame]), until)])
            assert read_number(reader.at(ms)) == numbers[frame], ms


@pytest.mark.parametrize("name", ["h264_b.mp4", "late.ts", "mpeg2.mpg", "h264.avi", "variable.mkv", "open_gop_cut.ts"])
def test_before_the_start_and_after_the_end(name: str, film: Films) -> None:
    numbers = FILMS[name].numbers
    end = read_index(film(name)).end
    assert read_number(frame_at(film(name), -5_000)) == numbers[0]
    assert read_number(frame_at(film(name), end)) == numbers[-1]
    assert read_number(frame_at(film(name), end + 3_600_000)) == numbers[-1]


@pytest.mark.parametrize("name", ["h264_b.mp4", "mpeg2.ts", "vp9.webm"])
def test_a_reader_goes_forward_back_and_far(name: str, film: Films) -> None:
    index = read_index(film(name))
    with FrameReader(film(name)) as reader:
        for frame in [*range(45), *range(44, -1, -1), 3, 40, 4, 4, 39]:
            assert read_number(reader.at(int(index.times[frame]))) == frame


@pytest.mark.parametrize("one_packet", [False, True])
@pytest.mark.parametrize("ending", [".ts", ".mp4", ".mkv"])
def test_pictures_of_two_fields_come_whole(one_packet: bool, ending: str, tmp_path: Path) -> None:
    """A picture whose fields have one grey must have it in every line."""
    path = write_fields(tmp_path / "fields.ts", 25, one_packet)
    if ending != ".ts":
        ffmpeg("-i", str(path), "-c", "copy", str(path.with_suffix(ending)))
    greys = []
    with FrameReader(path.with_suffix(ending)) as reader:
        for number in [20, 5, 24, 0, 11, 12]:
            shown = reader.at(number * 40 + 25)
            assert int(np.ptp(shown)) <= 2
            greys.append((number, int(shown.mean())))
    assert [grey for _, grey in sorted(greys)] == sorted(grey for _, grey in greys)
    assert len({grey for _, grey in greys}) == 6
    assert [int(np.ptp(key.picture)) for key in key_frames(path.with_suffix(ending), 32)] == [0] * 25


def bars(number: int) -> np.ndarray:
    return np.where(picture(number) > 128, 1, 0)


@pytest.mark.parametrize(
    ("name", "turned"),
    [
        ("turned90.mp4", lambda stored: np.rot90(stored, -1)),
        ("turned180.mp4", lambda stored: np.rot90(stored, 2)),
        ("mirrored.mp4", lambda stored: stored[:, ::-1]),
        ("mirrored_down.mp4", lambda stored: stored[::-1]),
        ("mirrored_turned.mp4", lambda stored: np.rot90(stored[:, ::-1], -1)),
        ("askew30.mp4", lambda stored: stored),
        ("askew_mirrored.mp4", lambda stored: np.rot90(stored[:, ::-1], -1)),
    ],
)
def test_pictures_stand_upright(name: str, turned: Callable[[np.ndarray], np.ndarray], film: Films) -> None:
    for number in (1, 6, 37):
        shown = frame_at(film(name), number * 1_000 // 30 + 1)[:, :, 1] > 128
        assert (shown == turned(bars(number))).mean() > 0.98


def test_turned_and_anamorphic_at_once(film: Films) -> None:
    assert frame_at(film("turned270.mov"), 0).shape == (round(WIDTH * 64 / 45), HEIGHT, 3)
    stored = frame_at(film("anamorphic.mp4"), 200)
    assert stored.shape == (HEIGHT, round(WIDTH * 64 / 45), 3)
    shown = frame_at(film("turned270.mov"), 200)
    assert np.abs(np.rot90(stored).astype(int) - shown).mean() < 1


def test_a_side_only_grows_and_absurd_pixels_are_passed_over(film: Films) -> None:
    assert frame_at(film("narrow.mkv"), 0).shape == (128, 160, 3)
    assert display_size(720, 576, Fraction(16, 15)) == (768, 576)
    assert display_size(720, 576, None) == (720, 576)
    assert display_size(100, 100, Fraction(1, 1_000)) == (100, 100)
    assert display_size(16_000, 9_000, Fraction(2)) == (16_000, 9_000)


@pytest.mark.parametrize(
    ("pixels", "declared"),
    [
        ("yuv420p", ("tv", "bt709")),
        ("yuv420p", ("tv", "smpte170m")),
        ("yuvj420p", ("pc", "smpte170m")),
        ("yuv444p", ("pc", "bt709")),
        ("yuv420p10le", ("tv", "bt709")),
        ("yuv422p10le", ("tv", "bt709")),
        ("yuv420p", ("unknown", "unknown")),
        ("gbrp", ("pc", "gbr")),
    ],
)
def test_colours_come_back_whatever_they_are_stored_as(pixels: str, declared: tuple[str, str], tmp_path: Path) -> None:
    """Black, white and three strong colours, by FFmpeg's own conversion on the way in (ITU-R BT.601 and BT.709)."""
    colours = np.array([[0, 0, 0], [255, 255, 255], [255, 0, 0], [0, 160, 0], [40, 60, 200]], dtype=np.uint8)
    drawn = np.repeat(np.tile(colours, (32, 1, 1)), 32, axis=1)
    path = tmp_path / "colours.mkv"
    span, space = declared
    known = span != "unknown"
    conversion = f"scale=out_range={span}:out_color_matrix={'bt709' if space == 'gbr' else space}" if known else "scale"
    tagged = ("-color_range", span, "-colorspace", space) if known and space != "gbr" else ()
    ffmpeg(
        *("-f", "rawvideo", "-pix_fmt", "rgb24", "-s", "160x32", "-r", "1", "-i", "pipe:"),
        *("-vf", f"{conversion},format={pixels}", *tagged, "-c:v", "ffv1", str(path)),
        given=drawn.tobytes(),
    )
    shown = frame_at(path, 0)
    for at, colour in enumerate(colours):
        middle = shown[8:24, at * 32 + 8 : at * 32 + 24].reshape(-1, 3).mean(axis=0)
        assert np.abs(middle - colour).max() <= 4, colour


def test_high_definition_is_coloured_by_bt709_where_nothing_is_declared() -> None:
    frame = av.VideoFrame(1280, 720, "yuv420p")
    for plane, value in zip(frame.planes, (63, 102, 240), strict=True):
        plane.update(bytes([value]) * plane.buffer_size)
    # ITU-R BT.709: pure red is Y 63, Cb 102, Cr 240.
    assert np.abs(Renderer(None)(frame)[300, 300].astype(int) - [255, 0, 0]).max() <= 3


@pytest.mark.parametrize("name", UPRIGHT)
def test_key_frames_have_the_width_and_time_that_they_should(name: str, film: Films) -> None:
    index = read_index(film(name))
    keys = list(key_frames(film(name), 80))
    assert keys
    assert [key.time for key in keys] == sorted({key.time for key in keys})
    for key in keys:
        assert key.picture.shape[1] == 80
        assert read_number(key.picture) == FILMS[name].numbers[index.shown_at(key.time)]
        assert key.time in index.times


def test_key_frames_may_be_wanted_farther_apart(film: Films) -> None:
    times = [key.time for key in key_frames(film("hours.mp4"), 32, 30 * 60_000)]
    assert len(times) == 7
    assert all(after - before >= 30 * 60_000 for before, after in pairwise(times))
    assert [key.time for key in key_frames(film("mjpeg.avi"), 32, 200)] == list(range(0, 1_800, 200))


def test_key_frames_cost_only_what_is_taken(film: Films) -> None:
    strip = key_frames(film("h264.mp4"), 32)
    assert next(strip).time == 0
    strip.close()


def test_damage_is_passed_over(film: Films, tmp_path: Path) -> None:
    damaged = bytearray(film("mpeg2.ts").read_bytes())
    damaged[len(damaged) // 3 : len(damaged) // 3 + 900] = bytes(900)
    path = tmp_path / "damaged.ts"
    path.write_bytes(damaged)
    with FrameReader(path) as reader:
        assert read_number(reader.at(0)) == 0
        assert read_number(reader.at(1_750)) == 43
        for ms in range(0, 1_800, 100):
            assert reader.at(ms).shape == (HEIGHT, WIDTH, 3)


def test_a_recording_without_a_picture_that_decodes(film: Films, tmp_path: Path) -> None:
    scrambled = bytearray(film("h264.mp4").read_bytes())
    start = scrambled.index(b"mdat") + 4
    end = scrambled.index(b"moov") - 4
    scrambled[start:end] = bytes(value ^ 0xA5 for value in scrambled[start:end])
    path = tmp_path / "scrambled.mp4"
    path.write_bytes(scrambled)
    with pytest.raises(MediaError, match="contains no frame that can be decoded"):
        frame_at(path, 0)
    assert list(key_frames(path, 32)) == []


def test_bars_are_read_as_they_are_drawn() -> None:
    for number in (0, 1, 170, 255):
        assert read_number(np.stack([picture(number)] * 3, axis=2)) == number
    assert BAR * BITS == WIDTH
