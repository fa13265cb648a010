"""Thumbnails and sound in the timeline: made beside the window, taken from the cache the second time."""

import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QAccessible, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.timeline.strip_maker import Made, StripMaker
from annotator.desktop.timeline.strips import Film
from annotator.desktop.window import Window
from annotator.media.cache.strip_cache import StripCache
from annotator.media.pictures.thumbnails import Thumbnail
from annotator.model.case import Case
from annotator.model.timecode import parse
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of
from tests.desktop.films import film, read_number

KEYED = ("-bf", "3", "-sc_threshold", "0", "-g")
"""Key frames at regular distances only, as many pictures apart as follows."""


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    return film(tmp_path / "model-eye.mp4", 150, "30000/1001", *KEYED, "60", sound=True)


def all_made(qtbot: QtBot, maker: StripMaker) -> None:
    qtbot.waitUntil(lambda: maker.is_done, timeout=10_000)


def contents_of(case: Case) -> list[str]:
    return [one.fingerprint for one in case.recordings]


def made_by(qtbot: QtBot, case: Case, paths: list[Path | None], folder: Path) -> tuple[StripMaker, list[Made]]:
    """A maker that has finished, and what it told."""
    maker, told = StripMaker(case, paths, contents_of(case), StripCache(folder)), list[Made]()
    maker.made.connect(told.append)
    with qtbot.waitSignal(maker.done, timeout=10_000):
        maker.start()
    return maker, told


def lane(window: Window, name: str) -> QImage:
    """What the timeline paints right of the lane's name, between its upper and lower edge."""
    timeline = bench_of(window).timeline
    middle, half = round(timeline.middle_of(name)), 18 if name == "thumbnails" else 9
    left = round(timeline.scale.left)
    return timeline.grab(QRect(left, middle - half, round(timeline.scale.width), 2 * half)).toImage()


def numbers(maker: StripMaker, recording: int, *times: int) -> list[int]:
    found = []
    for at in times:
        thumbnail = maker.films[recording].at(at)
        assert thumbnail is not None
        image = QImage.fromData(thumbnail.jpeg)
        found.append(read_number(image, image.rect()))
    return found


def shades(image: QImage) -> set[int]:
    return {image.pixel(x, y) for x in range(0, image.width(), 2) for y in range(image.height())}


def test_the_strip_shows_the_recordings_own_key_frames(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """One key frame in 60 pictures of 30000/1001 a second: the pictures 0, 60 and 120."""
    window = opened(recording)
    strips = bench_of(window).strips
    all_made(qtbot, strips)
    assert numbers(strips, 0, 0, 2_001, 2_002, 3_000, 4_004, 5_000) == [0, 0, 60, 60, 120, 120]
    assert strips.films[0].says == strips.sounds[0].says == ""


def test_both_lanes_are_painted_once_they_are_there(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.resize(1440, 900)
    QApplication.processEvents()
    all_made(qtbot, bench_of(window).strips)
    assert len(shades(lane(window, "thumbnails"))) > 10
    assert len(shades(lane(window, "sound"))) > 1


def test_in_a_low_window_the_sound_is_the_row_below(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    timeline = bench_of(window).timeline
    window.resize(1280, 720)
    QApplication.processEvents()
    assert timeline.middle_of("thumbnails") < timeline.middle_of("step") < timeline.height()
    assert timeline.middle_of("sound") > timeline.height() - 8
    window.resize(1280, 900)
    QApplication.processEvents()
    assert timeline.middle_of("thumbnails") < timeline.middle_of("sound") < timeline.middle_of("step")


def test_the_second_time_nothing_is_decoded(recording: Path, opened: Opener, qtbot: QtBot, tmp_path: Path) -> None:
    """The recording can't even be read any more then."""
    case = controller_of(opened(recording)).case
    first, told = made_by(qtbot, case, [recording], tmp_path / "strips")
    assert sorted(told) == [Made(0, "film", False), Made(0, "sound", False)]
    gone = tmp_path / "gone.mp4"
    second, told = made_by(qtbot, case, [gone], tmp_path / "strips")
    assert sorted(told) == [Made(0, "film", True), Made(0, "sound", True)]
    assert numbers(second, 0, 0, 2_500, 4_500) == numbers(first, 0, 0, 2_500, 4_500) == [0, 60, 120]
    one, other = first.sounds[0].peaks, second.sounds[0].peaks
    assert one is not None
    assert other is not None
    assert one.levels.tolist() == other.levels.tolist()


def test_the_window_takes_them_from_the_cache(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    all_made(qtbot, bench_of(window).strips)
    window.close_case()
    told: list[Made] = []
    opened(recording)
    strips = bench_of(window).strips
    strips.made.connect(told.append)
    all_made(qtbot, strips)
    assert told
    assert all(one.from_cache for one in told)


def test_what_was_damaged_in_the_cache_is_made_again(
    recording: Path, opened: Opener, qtbot: QtBot, tmp_path: Path
) -> None:
    case = controller_of(opened(recording)).case
    folder = tmp_path / "strips"
    whole, _ = made_by(qtbot, case, [recording], folder)
    for kept in folder.iterdir():
        raw = kept.read_bytes()
        kept.write_bytes(raw[: len(raw) // 2] + b"?" + raw[len(raw) // 2 + 1 :])
    again, told = made_by(qtbot, case, [recording], folder)
    assert sorted(told) == [Made(0, "film", False), Made(0, "sound", False)]
    assert numbers(again, 0, 0, 2_500, 4_500) == numbers(whole, 0, 0, 2_500, 4_500)
    _, told = made_by(qtbot, case, [recording], folder)
    assert all(one.from_cache for one in told)


def test_without_sound_the_lane_says_so(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(film(tmp_path / "mute.mp4", 30, "25"))
    all_made(qtbot, bench_of(window).strips)
    assert bench_of(window).strips.sounds[0].says == "no sound"


def test_several_recordings_with_one_missing(recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    second = film(tmp_path / "second.mp4", 50, "25", *KEYED, "25")
    window = opened(recording, second)
    all_made(qtbot, bench_of(window).strips)
    assert numbers(bench_of(window).strips, 1, 0, 1_100) == [0, 25]
    window.close_case()
    recording.unlink()
    window = opened(recording.with_name("model-eye.case.jsonld"))
    strips = bench_of(window).strips
    all_made(qtbot, strips)
    assert "can't be read" in strips.films[0].says
    assert numbers(strips, 1, 0) == [0]
    window.resize(1440, 900)
    QApplication.processEvents()
    assert len(shades(lane(window, "thumbnails"))) > 10


@pytest.mark.parametrize(
    ("name", "args", "expected"),
    [
        ("variable.mkv", ("-vf", "select='not(mod(n,3))'", "-fps_mode", "vfr", *KEYED, "10"), [0, 30, 60]),
        ("late.ts", ("-output_ts_offset", "7.123", *KEYED, "30"), [0, 30, 60]),
        ("one-key.mp4", (*KEYED, "9999"), [0, 0, 0]),
    ],
)
def test_odd_recordings(
    name: str, args: tuple[str, ...], expected: list[int], tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(film(tmp_path / name, 90, "30", *args))
    all_made(qtbot, bench_of(window).strips)
    assert numbers(bench_of(window).strips, 0, 0, 1_100, 2_100) == expected


def test_thumbnails_of_a_turned_recording_stand_upright(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    flat, turned = film(tmp_path / "flat.mp4", 30, "25"), tmp_path / "turned.mp4"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-display_rotation", "90", "-i", str(flat)]
    subprocess.run([*command, "-c", "copy", str(turned)], check=True)
    window = opened(turned)
    all_made(qtbot, bench_of(window).strips)
    thumbnail = bench_of(window).strips.films[0].at(0)
    assert thumbnail is not None
    image = QImage.fromData(thumbnail.jpeg)
    assert image.height() / image.width() == pytest.approx(320 / 180, rel=0.02)
    QApplication.processEvents()
    assert len(shades(lane(window, "thumbnails"))) > 2


def test_a_recording_that_breaks_while_the_window_is_open(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """A file that turned into something else: said in both lanes, and the window goes on."""
    case = controller_of(opened(recording)).case
    broken = recording.with_name("broken.mp4")
    broken.write_bytes(recording.read_bytes()[:2_000])
    maker, _ = made_by(qtbot, case, [broken], recording.parent / "other")
    assert "broken.mp4" in maker.films[0].says
    assert "broken.mp4" in maker.sounds[0].says
    assert not list(recording.parent.glob("other/*.film"))


def test_closing_stops_the_work(recording: Path, opened: Opener, qtbot: QtBot, tmp_path: Path) -> None:
    case = controller_of(opened(recording)).case
    maker = StripMaker(case, [recording], contents_of(case), StripCache(tmp_path / "strips"))
    with qtbot.waitSignal(maker.done, timeout=10_000):
        maker.start()
        maker.close()
    assert maker.is_done
    assert not list(tmp_path.glob("strips/*.part"))


def test_the_pointer_brings_a_larger_look_with_the_time(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    bench = bench_of(window)
    all_made(qtbot, bench.strips)
    timeline = bench.timeline
    y = round(timeline.middle_of("thumbnails"))
    QTest.mouseMove(timeline, QPoint(round(timeline.scale.x(2_500)), y))
    qtbot.waitUntil(bench.preview.isVisible)
    assert abs(parse(bench.preview.time_text) - 2_500) <= 5
    told = QAccessible.queryAccessibleInterface(bench.preview)
    assert told.text(QAccessible.Text.Name) == f"Frame at {bench.preview.time_text}"
    assert bench.preview.geometry().bottom() < timeline.y()
    assert bench.rect().contains(bench.preview.geometry())
    QTest.mouseMove(timeline, QPoint(10, y))
    assert not bench.preview.isVisible()


def test_the_nearest_earlier_picture_is_taken() -> None:
    strip = Film()
    assert strip.at(10) is None
    strip.put([Thumbnail(4_000, b"c"), Thumbnail(100, b"a")])
    strip.put([Thumbnail(2_000, b"b"), Thumbnail(100, b"again")])
    assert len(strip) == 3
    found = [strip.at(at) for at in (0, 1_999, 2_000, 9_000)]
    assert [one.jpeg for one in found if one] == [b"a", b"a", b"b", b"c"]


def test_the_visible_part_comes_first(recording: Path, opened: Opener, qtbot: QtBot, tmp_path: Path) -> None:
    """A strip of four pieces, looked at near its end: that piece comes right after the first look at the whole."""
    long = film(tmp_path / "long.mp4", 1_023, "1", "-preset", "ultrafast", *KEYED, "1")
    window = opened(long)
    case = controller_of(window).case
    maker = StripMaker(case, [long], contents_of(case), StripCache(tmp_path / "strips"))
    maker.look_at(800_000, 1_000_000)
    counts: list[tuple[int, int]] = []

    def count() -> None:
        strip = maker.films[0]
        times = {found.time for at in range(0, 1_023_000, 500) if (found := strip.at(at))}
        counts.append((sum(at < 512_000 for at in times), sum(at >= 768_000 for at in times)))

    maker.grew.connect(count)
    with qtbot.waitSignal(maker.done, timeout=10_000):
        maker.start()
    assert any(late > 100 and early < 100 for early, late in counts)
    assert counts[-1] == (512, 255)
