"""A whole case by keys alone: ten steps, four events, three edges corrected, published, and compared byte for byte."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.publishing.tick_button import TickButton
from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, play_until, tag
from tests.desktop.films import exact_ms, film

GOLDEN = Path(__file__).parent / "golden"

TIMES = exact_ms(range(400), 30000, 1001)

PLAN = (
    (15, "p"), (30, "1"), (50, "c"), (80, "v"), (95, "2"), (110, "h"), (145, "r"), (180, "b"), (195, "9"),
    (215, "t"), (250, "m"), (265, "7"), (285, "x"), (320, "g"), (355, "Escape"),
)  # fmt: skip
"""At which frame which key of the vitreoretinal vocabulary is meant to be pressed."""

LATE = {"c": 6, "h": 4, "m": 9}
"""By how many frames the hand is late for three of the steps; `[` corrects them."""


def go_to(qtbot: QtBot, window: Window, frame: int) -> None:
    """Play on until shortly before a frame, or over it, and go the rest in single frames."""
    if window.player.at < TIMES[frame - 12]:
        play_until(qtbot, window, TIMES[frame - 12])
    while window.player.at != TIMES[frame]:
        move(qtbot, window, "." if window.player.at < TIMES[frame] else ",")


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def publish_as_csv(qtbot: QtBot, window: Window) -> None:
    """Walk through the publishing page by the Tab key, tick the table, and press the button that writes."""
    QTest.keySequence(window, "Ctrl+P")
    panel = bench_of(window).publish
    for _ in range(60):
        QTest.keyClick(focused(), Qt.Key.Key_Tab)
        now = focused()
        if isinstance(now, TickButton) and "csv" in now.ticks and "csv" not in now.values:
            QTest.keyClick(now, Qt.Key.Key_Space)
            for key in (*[Qt.Key.Key_Down] * (1 + list(now.ticks).index("csv")), Qt.Key.Key_Space, Qt.Key.Key_Escape):
                QTest.keyClick(now.menu_of_ticks, key)
        if now is panel.write:
            with qtbot.waitSignal(panel.finished, timeout=20_000):
                QTest.keyClick(now, Qt.Key.Key_Space)
            return
    pytest.fail("the button that writes the files is not reached by the Tab key")


def test_a_whole_case_by_keys_alone(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    """The golden files follow from PLAN alone: frame n starts at ceil(n * 1001 / 30) ms."""
    window = opened(film(tmp_path / "wet-lab.mp4", 400, "30000/1001", "-bf", "3", "-g", "60", sound=True))
    for _ in range(3):
        QTest.keySequence(window, "+")
    assert window.player.speed == 4.0
    for frame, key in PLAN:
        go_to(qtbot, window, frame + LATE.get(key, 0))
        tag(qtbot, window, key)
        if key in LATE:
            go_to(qtbot, window, frame)
            tag(qtbot, window, "[")
    assert len(controller_of(window).case.tags) == 14
    publish_as_csv(qtbot, window)
    for name, golden in (("chapters.vtt", "whole-case.vtt"), ("durations.csv", "whole-case.csv")):
        assert (tmp_path / f"operation.{name}").read_bytes() == (GOLDEN / golden).read_bytes()
