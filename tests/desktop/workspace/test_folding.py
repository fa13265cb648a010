"""Side panels fold to strips of icons, by hand and for good; what a command needs opens for as long as it takes."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollBar, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.controls import FoldButton
from annotator.desktop.window import Window
from annotator.desktop.workspace.columns import Columns
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener) -> Window:
    opened(recording)
    window.activateWindow()
    return window


def columns(window: Window) -> Columns:
    return bench_of(window).panels.columns


def settled(window: Window) -> None:
    """Let the layout come to rest."""
    for _ in range(3):
        QApplication.processEvents()


def press(window: Window, *keys: str) -> None:
    for key in keys:
        QTest.keySequence(window, key)
    settled(window)


def test_both_fold_and_the_picture_gets_the_room(window: Window) -> None:
    bench = bench_of(window)
    before = bench.picture.width(), bench.sheet.width(), bench.panels.side.width()
    press(window, "F7", "F8")
    assert (columns(window).sheet_is_folded, columns(window).side_is_folded) == (True, True)
    assert bench.picture.width() == bench.width() - 2 * 44
    press(window, "F7", "F8")
    assert (bench.picture.width(), bench.sheet.width(), bench.panels.side.width()) == before


def test_the_strips_have_named_buttons_reached_by_tab(window: Window) -> None:
    press(window, "F7", "F8")
    for strip, count in ((columns(window).sheet_strip, 2), (columns(window).side_strip, 6)):
        buttons = strip.findChildren(QToolButton)
        assert len(buttons) == count
        for button in buttons:
            assert button.accessibleName()
            assert button.toolTip()
            assert button.focusPolicy() & Qt.FocusPolicy.TabFocus
            assert min(button.width(), button.height()) >= 24


def test_a_button_of_the_strip_opens_the_panel(window: Window) -> None:
    press(window, "F7")
    QTest.mouseClick(columns(window).sheet_strip.findChildren(QToolButton)[0], Qt.MouseButton.LeftButton)
    assert not columns(window).sheet_is_folded
    assert not columns(window).sheet_strip.isVisible()


@pytest.mark.parametrize("name", ["Collapse the step list", "Collapse the tag list"])
def test_the_button_stays_under_the_pointer(name: str, window: Window) -> None:
    """Whoever folds a panel by mistake presses once more, without looking for another button."""
    fold = next(one for one in window.findChildren(FoldButton) if one.accessibleName() == name)
    at = fold.mapTo(window, fold.rect().center())
    QTest.mouseClick(fold, Qt.MouseButton.LeftButton)
    settled(window)
    unfold = window.childAt(at)
    assert isinstance(unfold, QToolButton)
    assert (unfold.mapTo(window, unfold.rect().center()) - at).manhattanLength() <= 4
    QTest.mouseClick(unfold, Qt.MouseButton.LeftButton)
    settled(window)
    assert window.childAt(at) is fold


def test_step_keys_work_while_the_sheet_is_folded(window: Window, qtbot: QtBot) -> None:
    press(window, "F7", "F8")
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    tag(qtbot, window, "h")
    assert len(controller_of(window).case.tags) == 2


def test_folding_is_remembered(window: Window, opened: Opener) -> None:
    press(window, "F8")
    path = controller_of(window).session.path
    window.close_case()
    opened(path)
    assert (columns(window).sheet_is_folded, columns(window).side_is_folded) == (False, True)


def test_check_and_publish_open_the_panel_and_fold_it_again(window: Window) -> None:
    bench = bench_of(window)
    press(window, "F8", "Ctrl+E")
    assert bench.findings.isVisible()
    bench.findings.closed.emit()
    assert columns(window).side_is_folded
    press(window, "Ctrl+P")
    assert bench.publish.isVisible()
    press(window, "F8")
    assert columns(window).side_is_folded
    press(window, "F8")
    assert not window.preferences.side_is_folded


@pytest.mark.parametrize(
    ("folds", "key", "name"),
    [
        ("F7", "Ctrl+F", "Find step"),
        ("F7", "Ctrl+1", "Step list"),
        ("F8", "Ctrl+2", "Tag list"),
        ("F8", "Ctrl+3", "Start"),
        ("F8", "Ctrl+4", "Retina chart"),
        ("F8", "F3", "Start of this line"),
    ],
)
def test_what_a_key_leads_to_opens(folds: str, key: str, name: str, window: Window, qtbot: QtBot) -> None:
    tag(qtbot, window, "c")
    press(window, folds, key)
    focused = QApplication.focusWidget()
    assert focused is not None
    assert focused.accessibleName() == name
    assert focused.isVisible()


def test_folding_what_has_the_focus_gives_the_keys_back(window: Window) -> None:
    press(window, "Ctrl+F", "F7")
    focused = QApplication.focusWidget()
    assert focused is None or focused.isVisible()
    assert not isinstance(focused, QWidget) or focused.accessibleName() != "Find step"


def test_whoever_scrolls_the_sheet_is_not_carried_away(window: Window, qtbot: QtBot) -> None:
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    tag(qtbot, window, "Escape")
    bar = bench_of(window).sheet.view.verticalScrollBar()
    bar.triggerAction(QScrollBar.SliderAction.SliderToMaximum)
    there = bar.value()
    assert there > 0
    seek(qtbot, window, 501)
    assert bench_of(window).sheet.model.covering_step()
    assert bar.value() == there


def test_between_two_steps_the_sheet_stays_where_it_is(window: Window, qtbot: QtBot) -> None:
    """Also while an instrument, which stands far below, is in the eye all the time."""
    sheet, controller = bench_of(window).sheet, controller_of(window)
    terms = controller.case.vocabulary
    seek(qtbot, window, 0)
    controller.tag(terms.match("light pipe").iri)
    controller.tag(terms.match("membrane staining").iri)
    seek(qtbot, window, 1001)
    controller.end_running()
    seek(qtbot, window, 501)
    bar = sheet.view.verticalScrollBar()
    there = bar.value()
    assert 0 < there < bar.maximum()
    seek(qtbot, window, 2002)
    assert [one.notation for one in map(terms.concept, sheet.model.running) if one] == ["light-pipe"]
    assert bar.value() == there


def test_the_sheet_follows_what_runs(window: Window, qtbot: QtBot) -> None:
    sheet = bench_of(window).sheet
    step = controller_of(window).case.vocabulary.match("silicone oil fill").iri
    controller_of(window).tag(step)
    row = sheet.model.row_of(step)
    assert row is not None
    assert sheet.view.viewport().rect().contains(sheet.view.visualRect(sheet.model.index(row)).center())
