"""An open case carried to another vocabulary, and back by undo."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag


def answer(window: Window, words: str) -> None:
    QTest.keyClicks(window.command_palette.field, words)
    QTest.keyClick(window.command_palette.field, Qt.Key.Key_Return)


def test_a_case_is_carried_and_undo_takes_it_back(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "C")
    before = controller_of(window).case
    bench = bench_of(window)
    QTest.keySequence(window, "Ctrl+K")
    answer(window, "change vocabulary")
    answer(window, "cataract")
    qtbot.waitUntil(lambda: bench_of(window) is not bench)
    carried = controller_of(window).case
    assert carried.vocabulary.name == "cataract"
    assert [(one.start, one.end, one.concept) for one in carried.tags] == [
        (one.start, one.end, one.concept) for one in before.tags
    ]
    notices = "\n".join(bench_of(window).notices.texts)
    assert "“Core vitrectomy” is not in cataract 1.1: the old term is kept" in notices
    qtbot.waitUntil(lambda: window.player.at == 1001)
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keySequence(window, "C")  # the key of a step of the new vocabulary
    key = {one.key: one.iri for one in carried.vocabulary.concepts}["c"]
    assert key in {one.concept for one in controller_of(window).case.tags}
    bench = bench_of(window)
    tag(qtbot, window, "Ctrl+Z")
    tag(qtbot, window, "Ctrl+Z")
    qtbot.waitUntil(lambda: bench_of(window) is not bench)
    assert controller_of(window).case == before
    assert window.commands.vocabulary == before.vocabulary
