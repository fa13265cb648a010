"""A tag that goes on changes one row of the step list, and that row alone is painted anew."""

from pathlib import Path

from PySide6.QtTest import QSignalSpy
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag


def test_only_the_row_whose_time_has_changed_is_told(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    model = bench_of(window).sheet.model
    told = QSignalSpy(model.dataChanged)
    seek(qtbot, window, 2002)
    rows = [(told.at(number)[0].row(), told.at(number)[1].row()) for number in range(told.count())]
    row = model.row_of(controller_of(window).case.tags[0].concept)
    assert rows
    assert set(rows) == {(row, row)}
