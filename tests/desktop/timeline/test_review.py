"""Moving about with a review copy: the right frame at once, then the recording's own, and all else stays."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.playback import seeker
from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from annotator.media.write.review_copy import LONGEST_SIDE, ReviewCopy, write_review_copy
from annotator.store.fingerprint import fingerprint
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, move, picture_number, seek
from tests.desktop.films import exact_ms, film, kept, read_number

LARGE = "scale=960:540:flags=neighbor"
FRAMES = 150
FILMS = {
    "ntsc": ("large.mp4", "30000/1001", ("-vf", LARGE, "-bf", "3", "-g", "150"), None, (30000, 1001)),
    "transport": ("large.ts", "25", ("-vf", LARGE, "-bf", "2", "-g", "50"), None, (25, 1)),
    "wide pixels": ("wide.mkv", "50", ("-vf", f"{LARGE},setsar=4/3", "-bf", "2"), None, (50, 1)),
    "variable": (
        "uneven.mp4",
        "60",
        ("-vf", f"{LARGE},select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr", "-bf", "2", "-g", "100"),
        lambda number: number % 3 == 0 or number % 7 == 1,
        (60, 1),
    ),
}

Copied = Callable[[Path], ReviewCopy]


@pytest.fixture(autouse=True)
def long_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that the small picture is seen before the other on a machine that has much else to do, too."""
    monkeypatch.setattr(seeker, "_REST", 600)


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Copied:
    """The review copy of a recording, made once for each content."""
    folder, made = tmp_path_factory.mktemp("copies"), dict[str, ReviewCopy]()

    def make(path: Path) -> ReviewCopy:
        content = fingerprint(path)
        if content not in made:
            made[content] = write_review_copy(path, read_index(path), folder / f"{len(made)}.copy")
        return made[content]

    return make


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return film(tmp_path_factory.mktemp("large") / "large.mp4", FRAMES, "25", "-vf", LARGE, "-bf", "2", "-g", "150")


@pytest.fixture
def large(drawn: Path, tmp_path: Path) -> Path:
    """A recording of its own for each test, as its case is kept beside it."""
    return Path(shutil.copy(drawn, tmp_path / "large.mp4"))


def look(window: Window) -> tuple[int, int, QRect]:
    """The number in the pixels, the clock, and where the picture stands."""
    return picture_number(window), clock_ms(window), bench_of(window).picture.picture_area()


def width(window: Window) -> int:
    return bench_of(window).picture.image.width()


def wait_sharp(qtbot: QtBot, window: Window) -> None:
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)


@pytest.mark.parametrize("name", FILMS)
def test_the_sharp_picture_follows_and_nothing_else_changes(
    name: str, tmp_path: Path, copied: Copied, opened: Opener, qtbot: QtBot
) -> None:
    file, rate, args, keep, (numerator, denominator) = FILMS[name]
    path = film(tmp_path / file, FRAMES, rate, *args)
    numbers = kept(FRAMES, keep) if keep else list(range(FRAMES))
    times = exact_ms(numbers, numerator, denominator)
    window = opened(path)
    window.player.use_copy(0, copied(path))
    for frame in (len(numbers) - 1, 3, len(numbers) // 2, len(numbers) // 2 + 1):
        seek(qtbot, window, times[frame])
        small = look(window)
        assert (width(window), window.player.is_sharp) == (LONGEST_SIDE, False)
        assert small[:2] == (numbers[frame], times[frame])
        wait_sharp(qtbot, window)
        assert width(window) > LONGEST_SIDE
        assert look(window) == small
    for _ in range(3):
        move(qtbot, window, ",")
        frame -= 1
        assert (*look(window)[:2], width(window)) == (numbers[frame], times[frame], LONGEST_SIDE)
    wait_sharp(qtbot, window)
    assert look(window)[:2] == (numbers[frame], times[frame])


def test_every_frame_on_the_way_has_its_own_time(large: Path, copied: Copied, opened: Opener, qtbot: QtBot) -> None:
    """Asked for faster than they can be shown, as when the playhead is dragged."""
    window = opened(large)
    window.player.use_copy(0, copied(large))
    seen: list[tuple[int, int]] = []

    def note(*_: object) -> None:
        seen.append((picture_number(window), clock_ms(window)))

    window.player.shown.connect(note)
    path = [*range(0, FRAMES, 3), *range(FRAMES - 1, 20, -7)]
    for number, frame in enumerate(path, 1):
        if number % 4:
            window.player.seek(frame * 40)
        else:
            seek(qtbot, window, frame * 40)
    wait_sharp(qtbot, window)
    window.player.shown.disconnect(note)
    assert [time for _, time in seen] == [40 * number for number, _ in seen]
    assert len(seen) >= len(path) // 4
    assert seen[-1] == (path[-1], 40 * path[-1])
    assert width(window) == 960


def test_over_the_border_between_recordings(
    large: Path, tmp_path: Path, copied: Copied, opened: Opener, qtbot: QtBot
) -> None:
    second = film(tmp_path / "second.mkv", 60, "50", "-vf", LARGE, "-bf", "2")
    window = opened(large, second)
    border = read_index(large).end
    for number, path in enumerate((large, second)):
        window.player.use_copy(number, copied(path))
    for frame, at in ((149, 149 * 40), (0, border), (31, border + 620), (148, 148 * 40)):
        seek(qtbot, window, at)
        assert (*look(window)[:2], width(window)) == (frame, at, LONGEST_SIDE)
        wait_sharp(qtbot, window)
        assert (*look(window)[:2], width(window)) == (frame, at, 960)
    for key, frame, at in ((".", 149, 149 * 40), (".", 0, border), (",", 149, 149 * 40)):
        move(qtbot, window, key)
        assert look(window)[:2] == (frame, at)


def test_playing_goes_on_from_the_frame_of_the_copy(large: Path, copied: Copied, opened: Opener, qtbot: QtBot) -> None:
    window = opened(large)
    window.player.use_copy(0, copied(large))
    window.player.set_speed(0.5)
    seek(qtbot, window, 77 * 40)
    assert not window.player.is_sharp
    seen: list[int] = []

    def three(*_: object) -> bool:
        if width(window) == 960:
            seen.append(picture_number(window))
        return len(seen) == 3

    with qtbot.waitSignal(window.player.shown, check_params_cb=three, timeout=5_000):
        window.player.play()
    assert seen == [77, 78, 79]


def test_what_is_sharp_stays_sharp_when_playing_begins(
    tmp_path: Path, copied: Copied, opened: Opener, qtbot: QtBot
) -> None:
    """In a transport stream, where the player has to be sent back to run up to the frame."""
    path = film(tmp_path / "large.ts", FRAMES, "25", "-vf", LARGE, "-bf", "2", "-g", "50")
    window = opened(path)
    window.player.use_copy(0, copied(path))
    window.player.set_speed(0.5)
    seek(qtbot, window, read_index(path).times[70])
    wait_sharp(qtbot, window)
    seen: list[tuple[int, int]] = []

    def three(*_: object) -> bool:
        seen.append((picture_number(window), width(window)))
        return len(seen) == 3

    with qtbot.waitSignal(window.player.shown, check_params_cb=three, timeout=5_000):
        window.player.play()
    assert seen == [(70, 960), (71, 960), (72, 960)]


def test_dragging_and_hovering_go_through_the_copy(large: Path, copied: Copied, opened: Opener, qtbot: QtBot) -> None:
    window = opened(large)
    bench, copy = bench_of(window), copied(large)
    bench.copies.ready.emit(0, copy)
    timeline = bench.timeline
    y = round(timeline.middle_of("step"))

    def spot(frame: int) -> QPoint:
        return QPoint(round(timeline.scale.x(frame * 40 + 20)), y)

    with qtbot.waitSignal(window.player.shown):
        QTest.mousePress(timeline, Qt.MouseButton.LeftButton, pos=spot(10))
    for frame in (40, 90, 140):
        with qtbot.waitSignal(window.player.shown):
            QTest.mouseMove(timeline, spot(frame))
        number, time, _ = look(window)
        assert (number * 40, width(window)) == (time, LONGEST_SIDE)
        assert abs(number - frame) <= 1
    QTest.mouseRelease(timeline, Qt.MouseButton.LeftButton, pos=spot(140))
    wait_sharp(qtbot, window)
    assert width(window) == 960
    timeline.hovered.emit(75 * 40 + 15, 400)
    qtbot.waitUntil(bench.preview.isVisible)
    assert bench.preview.time_text == "00:00:03.000"
    picture = bench.preview.grab().toImage()
    area = bench.preview.picture_area()
    assert read_number(picture, area) == 75
    timeline.hovered.emit(None, 0)
    assert not bench.preview.isVisible()


def test_a_copy_that_shows_other_frames_is_dropped(large: Path, copied: Copied, opened: Opener, qtbot: QtBot) -> None:
    window = opened(large)
    copy = copied(large)
    window.player.use_copy(0, copy._replace(shift=215))
    with qtbot.waitSignal(window.player.copy_failed):
        window.player.seek(70 * 40)
    wait_sharp(qtbot, window)
    assert look(window)[:2] == (70, 2800)
    seek(qtbot, window, 33 * 40)
    assert look(window)[:2] == (33, 1320)  # without a copy, or with the one that was made in its place by now
