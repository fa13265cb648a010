"""Names of steps take as many lines as they need, and the list what is left of the window."""

from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.steps.step_sheet import StepSheet
from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import ROW
from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of


@pytest.fixture
def sheet(window: Window, recording: Path, opened: Opener) -> StepSheet:
    opened(recording)
    return bench_of(window).sheet


def height(sheet: StepSheet, window: Window, name: str) -> int:
    row = sheet.model.row_of(controller_of(window).case.vocabulary.match(name).iri)
    assert row is not None
    return sheet.view.visualRect(sheet.model.index(row)).height()


def test_a_long_name_has_two_lines_and_a_short_one_one(window: Window, sheet: StepSheet) -> None:
    line = QFontMetrics(typeface.text(strong=True)).lineSpacing()
    assert height(sheet, window, "Inner limiting membrane peeling") == ROW + line
    assert height(sheet, window, "Core vitrectomy") == ROW


def test_a_wider_list_needs_fewer_lines(window: Window, sheet: StepSheet) -> None:
    window.resize(1920, 1080)
    sheet.setMinimumWidth(400)
    for _ in range(3):
        QApplication.processEvents()
    assert height(sheet, window, "Inner limiting membrane peeling") == ROW


def test_a_name_keeps_its_height_while_its_step_runs(window: Window, sheet: StepSheet) -> None:
    before = height(sheet, window, "Posterior hyaloid separation")
    controller_of(window).tag(controller_of(window).case.vocabulary.match("Posterior hyaloid separation").iri)
    QApplication.processEvents()
    assert height(sheet, window, "Posterior hyaloid separation") == before


def test_a_list_that_was_to_be_laid_out_while_hidden_fits_the_width_it_is_shown_at(
    window: Window, sheet: StepSheet, qtbot: QtBot
) -> None:
    """Looked at by the scroll bar: to ask where a row is would lay the list out."""
    bar = sheet.view.verticalScrollBar()
    sheet.setFixedWidth(256)
    QApplication.processEvents()
    usual = bar.maximum()
    sheet.setFixedWidth(216)
    qtbot.waitUntil(lambda: bar.maximum() > usual)
    sheet.hide()
    sheet.view.scheduleDelayedItemsLayout()
    for _ in range(3):
        QApplication.processEvents()
    sheet.setFixedWidth(256)
    sheet.show()
    qtbot.waitUntil(lambda: bar.maximum() == usual, timeout=2_000)
