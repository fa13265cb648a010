"""The side panel of the tag list in the window of a small laptop: eight lines, and nothing of the form cut off."""

from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.record.page import RecordPage
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.scroll import FittingScroll
from annotator.desktop.window import Window
from annotator.model.place import parse_place
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag

LONG = parse_place("1/4/7 posterior; 2/5/9 mid-periphery; 3/11 far periphery")


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, running and selected, at 1280 by 720."""
    opened(recording)
    bench_of(window).first_steps.hide()
    tag(qtbot, window, "c")
    window.activateWindow()
    return window


def page(window: Window) -> RecordPage:
    return bench_of(window).record_page


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


def within(inner: QWidget, outer: QWidget) -> bool:
    return outer.rect().contains(QRect(inner.mapTo(outer, inner.rect().topLeft()), inner.size()))


def test_eight_lines_stay_beside_a_selected_tag(window: Window, qtbot: QtBot) -> None:
    assert (window.width(), window.height()) == (1280, 720)
    qtbot.waitUntil(lambda: page(window).record.viewport().height() >= 8 * ROW)
    assert page(window).tag_panel.isVisible()


@pytest.mark.parametrize("size", [(1280, 720), (1440, 900), (960, 600)])
def test_no_field_of_the_form_is_cut_off_at_the_side(size: tuple[int, int], window: Window) -> None:
    window.resize(*size)
    controller_of(window).describe_selected(place=LONG)
    settle()
    form = page(window).findChildren(FittingScroll)[0].viewport()
    fields = [one for one in page(window).tag_panel.findChildren(QWidget) if one.isVisible()]
    for field in (*fields, page(window).place_panel):
        right = field.mapTo(form, field.rect().topRight()).x()
        assert right < form.width(), field.accessibleName() or field


def test_every_field_of_the_form_is_seen_at_once(window: Window) -> None:
    settle()
    form = page(window).findChildren(FittingScroll)[0].viewport()
    assert within(page(window).place_panel.line, form)


def test_the_place_is_a_line_that_opens_the_chart(window: Window) -> None:
    settle()
    place = page(window).place_panel
    assert not place.chart.isVisible()
    assert place.line.button.accessibleName() == "Place: not said"
    controller_of(window).describe_selected(place=LONG)
    assert place.line.button.text().endswith("…")
    assert "2, 5 and 9 o'clock, mid-periphery" in place.line.button.accessibleName()
    QTest.mouseClick(place.line.button, Qt.MouseButton.LeftButton)
    assert place.large.isVisible()


def test_the_key_for_the_chart_opens_the_large_one(window: Window) -> None:
    settle()
    QTest.keySequence(window, "Ctrl+4")
    assert page(window).place_panel.large.chart.hasFocus()


def test_the_eye_is_told_beside_the_large_chart(window: Window) -> None:
    place = page(window).place_panel
    QTest.keySequence(window, "Ctrl+5")
    place.large.options.eye.setCurrentText("left")
    place.large.options.eye.activated.emit(place.large.options.eye.currentIndex())
    assert str(controller_of(window).case.eye) == "left"
    assert place.options.eye.currentText() == "left"


def test_the_chart_takes_the_place_of_the_line_where_there_is_room(window: Window, qtbot: QtBot) -> None:
    window.resize(1280, 1000)
    place = page(window).place_panel
    qtbot.waitUntil(place.chart.isVisible)
    assert not place.line.isVisible()
    assert page(window).record.viewport().height() >= 8 * ROW


def test_tab_brings_what_is_out_of_sight_into_the_form(window: Window, qtbot: QtBot) -> None:
    """In the lowest window the form scrolls."""
    window.resize(960, 600)
    line = page(window).place_panel.line.button
    qtbot.waitUntil(lambda: line.visibleRegion().boundingRect() != line.rect())
    QTest.keySequence(window, "Ctrl+3")
    for _ in range(6):
        focused = QApplication.focusWidget()
        assert focused is not None
        if focused is line:
            break
        QTest.keyClick(focused, Qt.Key.Key_Tab)
    assert line.hasFocus()
    assert line.visibleRegion().boundingRect() == line.rect()


def test_list_and_form_share_the_lowest_window(window: Window) -> None:
    """1920x1080 at 200 % leaves this, and less beside a bar of the system."""
    window.resize(960, 460)
    settle()
    form = page(window).findChildren(FittingScroll)[0]
    assert page(window).record.geometry().bottom() < form.geometry().top()
    assert page(window).rect().contains(form.geometry())
    assert page(window).record.viewport().height() >= 2 * ROW


def test_the_fields_of_several_tags_do_not_stand_on_the_edge(window: Window, qtbot: QtBot) -> None:
    tag(qtbot, window, "1")
    controller = controller_of(window)
    controller.select(controller.case.tags[0].id, [one.id for one in controller.case.tags])
    settle()
    lowest = max(
        box.mapTo(page(window), box.rect().bottomLeft()).y()
        for box in page(window).tag_panel.findChildren(QComboBox)
        if box.isVisible()
    )
    assert page(window).height() - lowest > UNIT


def test_the_hint_of_an_empty_list_stands_clear_of_the_field_above(window: Window) -> None:
    controller_of(window).remove_selected()
    settle()
    hint = page(window).empty_hint
    words = hint.mapTo(page(window), hint.contentsRect().topLeft()).y()
    field = page(window).filter
    assert words - field.mapTo(page(window), field.rect().bottomLeft()).y() >= 2 * UNIT


def test_the_hint_of_the_empty_form_does_not_stand_on_the_edge(window: Window, qtbot: QtBot) -> None:
    controller_of(window).select(None)
    hints = page(window).tag_panel.findChildren(QLabel)
    hint = next(one for one in hints if one.text().startswith("Select a tag"))

    form = page(window).findChildren(FittingScroll)[0]
    qtbot.waitUntil(lambda: hint.isVisible() and form.height() == form.sizeHint().height() < 3 * ROW)
    settle()
    bottom = hint.mapTo(page(window), hint.contentsRect().bottomLeft()).y()
    assert page(window).height() - bottom > 2 * UNIT
