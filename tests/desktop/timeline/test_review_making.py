"""Review copies made beside the window: when, how they are stopped, and that they are found again."""

import shutil
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annotator.desktop.playback import seeker
from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from annotator.media.write.review_copy import LONGEST_SIDE
from annotator.workflow.own_folders import cache_folder
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, picture_number, seek
from tests.desktop.films import film

LARGE = ("-vf", "scale=960:540:flags=neighbor", "-bf", "2", "-g", "300")


@pytest.fixture(autouse=True)
def long_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that the small picture is seen before the other on a machine that has much else to do, too."""
    monkeypatch.setattr(seeker, "_REST", 600)


def look(window: Window) -> tuple[int, int, int]:
    """The number in the pixels, the clock, and how many pixels wide the picture is."""
    return picture_number(window), clock_ms(window), bench_of(window).picture.image.width()


@pytest.fixture(scope="module")
def drawn_long(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A little more than a minute, with a number on every frame."""
    return film(tmp_path_factory.mktemp("long") / "long.mp4", 64 * 6, "6", *LARGE)


@pytest.fixture
def long(drawn_long: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(drawn_long, tmp_path / "long.mp4"))


@pytest.fixture
def short(tmp_path: Path) -> Path:
    return film(tmp_path / "first.mp4", 30, "25", *LARGE)


def review_folder() -> Path:
    return cache_folder() / "review"


def names() -> list[str]:
    return sorted(one.suffix for one in review_folder().glob("*"))


def test_a_copy_is_made_once_strips_are_done_and_found_the_next_time(long: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(long)
    copies = bench_of(window).copies
    begun: list[str] = []
    copies.began.connect(lambda _task, what: begun.append(what))
    with qtbot.waitSignal(copies.ready, timeout=30_000) as ready:
        pass
    assert begun == ["Review copy"]
    assert bench_of(window).strips.is_done
    assert ready.args[1].path.parent == review_folder()
    seek(qtbot, window, 40_000)
    assert look(window) == (240, 40_000, LONGEST_SIDE)
    with qtbot.waitSignal(window.player.shown, timeout=10_000):
        window.open_paths([long])
    again = bench_of(window).copies
    made_again: list[str] = []
    again.began.connect(lambda _task, what: made_again.append(what))
    qtbot.waitUntil(lambda: again.is_done, timeout=10_000)
    assert made_again == []
    seek(qtbot, window, 20_000)
    assert look(window) == (120, 20_000, LONGEST_SIDE)


def test_making_it_is_shown_in_the_foot_and_can_be_stopped(long: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(long)
    with qtbot.waitSignal(bench_of(window).copies.began, timeout=30_000) as began:
        pass
    task, what = began.args
    with qtbot.waitSignal(task.cancelled, timeout=10_000):
        qtbot.waitUntil(lambda: any(text.startswith(what) for text in window.status.tasks.texts), timeout=10_000)
        window.status.tasks.stop_first()
    qtbot.waitUntil(lambda: bench_of(window).copies.is_done)
    assert names() == []
    seek(qtbot, window, 40_000)
    assert look(window) == (240, 40_000, 960)


def test_closing_the_case_stops_it_and_leaves_nothing(long: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(long)
    with qtbot.waitSignal(bench_of(window).copies.began, timeout=30_000):
        pass
    qtbot.waitUntil(lambda: names() == [".lock", ".part"])
    window.close_case()
    assert names() == []


def test_a_damaged_copy_is_made_again(long: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(long)
    with qtbot.waitSignal(bench_of(window).copies.ready, timeout=30_000) as ready:
        pass
    path: Path = ready.args[1].path
    window.close_case()
    path.write_bytes(path.read_bytes()[:50_000])
    with qtbot.waitSignal(window.player.shown, timeout=10_000):
        window.open_paths([long])
    with qtbot.waitSignal(bench_of(window).copies.ready, timeout=30_000):
        pass
    seek(qtbot, window, 61_000)
    assert look(window) == (366, 61_000, LONGEST_SIDE)


def test_short_recordings_get_none(short: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(short)
    qtbot.waitUntil(lambda: bench_of(window).copies.is_done, timeout=10_000)
    assert names() == []


def test_a_missing_recording_is_left_out(short: Path, long: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(short, long)
    border = read_index(short).end
    window.close_case()
    short.unlink()
    with qtbot.waitSignal(window.player.shown, timeout=10_000):
        window.open_paths([short.with_name("first.case.jsonld")])
    with qtbot.waitSignal(bench_of(window).copies.ready, timeout=30_000) as ready:
        pass
    assert ready.args[0] == 1
    seek(qtbot, window, 1_000)
    assert "not where it was" in bench_of(window).picture.words
    seek(qtbot, window, border + 30_000)
    assert look(window) == (180, border + 30_000, LONGEST_SIDE)
