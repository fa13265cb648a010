"""A recording with a hole of zeros: said once, with the time, when it is met, however it is met."""

from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, picture_number, seek
from tests.desktop.films import film
from tests.media.damage import zeroed

HOLE = range(40, 60)
EVERY_KEY = ("-g", "1", "-bf", "0")


@pytest.fixture
def holed(tmp_path: Path) -> Path:
    """100 pictures, each of which decodes alone, 25 a second; 20 of them are overwritten."""
    whole = film(tmp_path / "eye.mp4", 100, "25", *EVERY_KEY)
    folder = tmp_path / "holed"
    folder.mkdir()
    return zeroed(whole, folder, HOLE)


def said(window: Window) -> list[str]:
    return [text for text in bench_of(window).notices.texts if "damaged" in text]


def says(at: str) -> list[str]:
    return [f"The recording “eye.mp4” is damaged at {at}: frames there are missing or broken. Tags keep their times."]


def test_a_jump_into_the_hole(holed: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(holed)
    seek(qtbot, window, 1_000)
    assert said(window) == []
    window.player.seek(2_000)
    qtbot.waitUntil(lambda: said(window) == says("00:00:02.000"), timeout=20_000)
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    window.player.seek(2_200)
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    assert said(window) == says("00:00:02.000")
    seek(qtbot, window, 3_000)
    assert picture_number(window) == 75


def test_playing_into_the_hole(holed: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(holed)
    seek(qtbot, window, 1_000)
    with qtbot.waitSignal(window.player.damaged, timeout=20_000):
        QTest.keySequence(window, "Space")
    assert said(window) == says("00:00:01.600")


def test_a_jump_over_the_hole_while_playing_looks_at_nothing_in_it(holed: Path, opened: Opener, qtbot: QtBot) -> None:
    """Only frames that the player left out by itself are looked into: a look costs as much as a jump."""
    window = opened(holed)
    seek(qtbot, window, 1_560)
    with qtbot.waitSignal(window.player.shown, check_params_cb=lambda _picture, at: at > 3_500, timeout=20_000):
        QTest.keySequence(window, "Space")
        window.player.seek(3_000)
    assert said(window) == []


def test_playing_backwards_into_the_hole(holed: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(holed)
    seek(qtbot, window, 3_000)
    with qtbot.waitSignal(window.player.damaged, timeout=20_000):
        QTest.keySequence(window, "J")
    assert len(said(window)) == 1


def test_another_case_begins_anew(holed: Path, opened: Opener, qtbot: QtBot) -> None:
    """The notice belongs to the case that was open."""
    window = opened(holed)
    with qtbot.waitSignal(window.player.damaged, timeout=20_000):
        window.player.seek(2_000)
    seek(qtbot, window, 1_000)
    window.close_case()
    opened(holed)
    assert said(window) == []
    with qtbot.waitSignal(window.player.damaged, timeout=20_000):
        window.player.seek(2_000)
    assert len(said(window)) == 1


def test_of_a_whole_recording_nothing_is_said(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(ntsc)
    told: list[object] = []
    window.player.damaged.connect(lambda *of: told.append(of))
    for at in (3_000, 1_000, 4_900):
        window.player.seek(at)
        qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    with qtbot.waitSignal(window.player.shown, check_params_cb=lambda _picture, at: at < 3_000, timeout=20_000):
        QTest.keySequence(window, "J")
    with qtbot.waitSignal(window.player.shown, check_params_cb=lambda _picture, at: at > 3_500, timeout=20_000):
        QTest.keySequence(window, "L")
    assert told == []
