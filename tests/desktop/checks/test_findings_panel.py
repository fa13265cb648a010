"""What the check says where there is nothing to ask: that no problem was found, or that there is nothing to look at."""

from pathlib import Path

from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.model.recording import Altered
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag


def said(window: Window) -> list[str]:
    return [one.text() for one in bench_of(window).findings.findChildren(QLabel) if one.isVisible()]


def test_no_problem_is_found_only_where_something_is_tagged(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    bench_of(window).panels.show_findings()
    assert "Nothing is tagged yet." in said(window)
    tag(qtbot, window, "c")
    assert not {"Nothing is tagged yet.", "No problems found."} & set(said(window)), "a step is still running"
    with qtbot.waitSignal(window.player.shown):
        controller_of(window).to_end()
    controller_of(window).end_running()  # not by Escape, which closes the panel first
    assert "No problems found." in said(window)
    assert any(text.startswith("Looked for: overlaps, gaps from 60 s, ") for text in said(window))
    controller_of(window).mark_altered(Altered.CUT)
    bench_of(window).panels.show_findings()
    assert any("marked as cut: times are those of the film" in text for text in said(window))
