"""The summary in the window: it follows the case, is sorted, copied and saved, and gives way to the picture."""

from pathlib import Path

import pytest
from PySide6.QtCore import QItemSelectionModel, QPoint, QRect, Qt
from PySide6.QtGui import QAction, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from annotator.desktop.summary.page import SummaryPage
from annotator.desktop.summary.tables import WITHIN
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.window import Window
from annotator.publish.report.summary import summary_text
from annotator.publish.report.summary_csv import dumps_occurrences
from annotator.store import published
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag


@pytest.fixture
def page(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> SummaryPage:
    """Core vitrectomy to 2.002 s, then a separation of the hyaloid that runs; the summary is open."""
    opened(recording)
    tag(qtbot, window, "c")
    seek(qtbot, window, 2_002)
    tag(qtbot, window, "h")
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    made = bench_of(window).summary
    with qtbot.waitSignal(made.refreshed):
        QTest.keySequence(window, "Ctrl+Shift+P")
    return made


def cells(page: SummaryPage) -> list[list[str]]:
    model = page.table.figures
    return [
        [model.index(row, column).data() for column in range(model.columnCount())] for row in range(model.rowCount())
    ]


def column(page: SummaryPage, head: str) -> list[str]:
    return [row[page.table.figures.heads.index(head)] for row in cells(page)]


def click_head(page: SummaryPage, head: str) -> None:
    heads = page.table.horizontalHeader()
    x = heads.sectionViewportPosition(page.table.figures.heads.index(head)) + 12
    QTest.mouseClick(heads.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(x, heads.height() // 2))


def select(page: SummaryPage, row: int) -> None:
    """Not by selectRow, which asks which keys are held, and Qt's tests leave them held."""
    index, flags = page.table.figures.index(row, 0), QItemSelectionModel.SelectionFlag
    page.table.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)


def save_as(page: SummaryPage, path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    with qtbot.waitSignal(page.saved):
        page.save.click()


def test_it_shows_the_figures_and_follows_every_change(page: SummaryPage, window: Window, qtbot: QtBot) -> None:
    assert page.isVisible()
    assert not bench_of(window).picture.isVisible()
    assert column(page, "Step") == ["Core vitrectomy", "Posterior hyaloid separation"]
    select(page, 0)
    assert column(page, "Net")[0] == "0:02"
    assert page.totals.endswith("2 occurrences")
    with qtbot.waitSignal(page.refreshed):
        controller_of(window).undo()
    assert column(page, "Step") == ["Core vitrectomy"]
    assert page.table.selected_notations == {"core-vitrectomy"}, "what was selected stays selected"
    with qtbot.waitSignal(page.refreshed):
        page.category.setCurrentIndex(page.category.findData("phase"))
    assert column(page, "Step") == ["Vitrectomy"]


@pytest.mark.parametrize("size", [(960, 540), (1280, 720)])
def test_nothing_of_it_is_cut_in_a_narrow_window(page: SummaryPage, window: Window, size: tuple[int, int]) -> None:
    window.resize(*size)
    QApplication.processEvents()
    page.views[WITHIN].click()
    for control in (page.order, page.copy, page.save, page.category, page.inside, *page.views.values()):
        assert control.width() >= control.sizeHint().width()
        area = QRect(control.mapTo(page, QPoint()), control.size())
        assert page.rect().contains(area)
    table = page.table
    column_of_steps = table.figures.heads.index("Step")
    assert table.columnWidth(column_of_steps) >= table.sizeHintForColumn(column_of_steps)


def test_a_click_on_a_head_sorts_and_the_order_stays(page: SummaryPage, window: Window, qtbot: QtBot) -> None:
    click_head(page, "Step")
    click_head(page, "Step")
    assert column(page, "Step") == ["Posterior hyaloid separation", "Core vitrectomy"]
    with qtbot.waitSignal(page.refreshed):
        tag(qtbot, window, "1")
    assert column(page, "Step") == ["Posterior hyaloid separation", "Core vitrectomy"]
    click_head(page, "Net")
    totals = column(page, "Net")
    assert totals == sorted(totals)


def test_the_order_is_changed_by_keys_too(page: SummaryPage, qtbot: QtBot) -> None:
    """The largest figure first, as one looks for it; what a head was clicked for is shown there."""
    page.order.setFocus()
    for _ in range(3):
        QTest.keyClick(page.order, Qt.Key.Key_Down)
    assert page.order.currentText() == "Sort by net"
    assert column(page, "Net") == sorted(column(page, "Net"), reverse=True)
    assert column(page, "Step")[0] == "Posterior hyaloid separation"
    click_head(page, "Step")
    assert page.order.currentText() == "Sort by step"
    page.order.setCurrentIndex(0)
    assert column(page, "Step") == ["Core vitrectomy", "Posterior hyaloid separation"]
    page.views["Occurrences"].click()
    assert page.order.currentText() == "Order of the case"


def test_rows_are_copied_as_text_and_as_csv(page: SummaryPage) -> None:
    page.views["Occurrences"].click()
    select(page, 1)
    QTest.keySequence(page.table, "Ctrl+C")
    held = QGuiApplication.clipboard().mimeData()
    assert held.text() == "Step\tStart\tEnd\tLength\nPosterior hyaloid separation\t0:02\t0:05\t0:03\n"
    assert bytes(held.data("text/csv").data()).decode() == held.text().replace("\t", ",")
    page.table.clearSelection()
    page.copy.click()
    assert len(QGuiApplication.clipboard().text().splitlines()) == 3


@pytest.mark.parametrize(("view", "form"), [("By step", "json"), ("By performer", "csv"), ("By step", "html")])
def test_a_file_says_what_the_published_one_says(
    view: str,
    form: str,
    page: SummaryPage,
    window: Window,
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    page.views[view].click()
    path = tmp_path / f"figures.{form}"
    save_as(page, path, qtbot, monkeypatch)
    text, _ = summary_text(controller_of(window).case, form, "step", by_performer=view == "By performer")
    assert path.read_text(encoding="utf-8") == text
    assert window.status.said == f"Saved {path}"


def test_occurrences_are_saved_as_a_table_and_as_nothing_else(
    page: SummaryPage, window: Window, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    page.views["Occurrences"].click()
    for _ in ("new", "over the one before"):
        save_as(page, tmp_path / "o.csv", qtbot, monkeypatch)
        assert (tmp_path / "o.csv").read_text(encoding="utf-8") == dumps_occurrences(controller_of(window).case, "step")
    assert window.status.said == f"Saved {tmp_path / 'o.csv'}"
    assert [one.place for one in published.copies()[0]] == [str((tmp_path / "o.csv").resolve())]
    save_as(page, tmp_path / "o.docx", qtbot, monkeypatch)
    assert window.status.said == "o.docx can't be saved: end its name in “.csv”"
    recording = controller_of(window).session.path.with_name("model-eye.mp4")
    before = recording.read_bytes()
    save_as(page, recording, qtbot, monkeypatch)
    assert recording.read_bytes() == before


def test_a_row_leads_to_its_time_and_sets_its_bands_off(page: SummaryPage, window: Window, qtbot: QtBot) -> None:
    select(page, 1)
    with qtbot.waitSignal(window.player.shown):
        QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert controller_of(window).at == 2_002
    pale = page.strip.grab().toImage().pixelColor(20, page.strip.height() // 2)
    page.table.clearSelection()
    assert page.strip.grab().toImage().pixelColor(20, page.strip.height() // 2) != pale
    with qtbot.waitSignal(window.player.shown):
        QTest.mouseClick(page.strip, Qt.MouseButton.LeftButton, pos=QPoint(0, 5))
    assert controller_of(window).at == 0
    found = page.strip.visit_at(page.strip.width() * 0.2)
    assert found is not None
    assert found.concept.notation == "core-vitrectomy"


def image(action: QAction) -> QImage:
    return action.icon().pixmap(16, 16).toImage()


def image_of(sign: Icon, window: Window) -> QImage:
    return icon(sign, window.theme.colours).pixmap(16, 16).toImage()


def test_escape_and_playing_bring_the_picture_back(page: SummaryPage, window: Window, qtbot: QtBot) -> None:
    bench = bench_of(window)
    shown, sheet_is_seen = bench.picture.isVisible, bench.sheet.isVisible
    assert not sheet_is_seen(), "its room is the table's"
    QTest.keySequence(window, "Escape")
    assert shown()
    assert sheet_is_seen()
    assert controller_of(window).running() is not None, "Escape closed what was open, and ended no step"
    bench.panels.show_publish()
    bench.publish.figures_wanted.emit()
    assert page.isVisible()
    with qtbot.waitSignal(window.player.playing_changed):
        window.player.toggle()
    assert shown()
    play, plays = window.commands.actions["toggle_play"], window.player.is_playing
    assert (plays, play.text(), image(play)) == (True, "Pause", image_of(Icon.PAUSE, window))
    with qtbot.waitSignal(window.player.playing_changed):
        bench.panels.show_summary()
    assert not window.player.is_playing, "the figures are read in quiet"
    assert (play.text(), image(play)) == ("Play", image_of(Icon.PLAY, window))
