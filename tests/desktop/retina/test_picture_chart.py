"""The chart over the picture: asked how it stands once, then a click on the picture says the field."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.retina.overlay import shape_over
from annotator.desktop.window import Window
from annotator.desktop.workspace.picture import Picture
from annotator.model.case import Eye
from annotator.model.place import Field, parse_place, print_place
from annotator.model.recording import View
from annotator.model.retina import centre
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag

LEFT_BUTTON = Qt.MouseButton.LeftButton


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    window.resize(1280, 900)
    opened(recording)
    tag(qtbot, window, "c")
    window.activateWindow()
    return window


def picture(window: Window) -> Picture:
    return bench_of(window).picture


def run(window: Window, does: str) -> None:
    window.commands.actions[does].trigger()
    QApplication.processEvents()


def place(window: Window) -> str:
    selected = controller_of(window).selected
    assert selected is not None
    return print_place(selected.place)


def spot(window: Window, field: Field, view: View) -> QPoint:
    """Where a field lies on the picture as it is seen now."""
    at = centre(field, view, controller_of(window).case.eye)
    assert at is not None
    return shape_over(QRectF(picture(window).picture_area())).pixel(*at).toPoint()


def test_it_is_asked_once_how_the_picture_stands_then_a_click_says_the_field(window: Window) -> None:
    question, controller = bench_of(window).picture_chart.question, controller_of(window)
    run(window, "place_from_picture")
    assert question.isVisible()
    QTest.mouseClick(picture(window), LEFT_BUTTON, pos=spot(window, Field(5, "posterior"), View.UPRIGHT))
    assert place(window) == "", "no place is taken while nobody has said how the picture stands"
    question.select(View.TURNED)
    question.use.click()
    assert (controller.case.recordings[0].picture, question.isVisible()) == (View.TURNED, False)
    for expected in ("5 posterior", ""):
        QTest.mouseClick(picture(window), LEFT_BUTTON, pos=spot(window, Field(5, "posterior"), View.TURNED))
        assert place(window) == expected
    run(window, "place_from_picture")
    QTest.mouseClick(picture(window), LEFT_BUTTON, pos=spot(window, Field(5, "posterior"), View.TURNED))
    assert place(window) == "", "a click is only a click again"
    run(window, "place_from_picture")
    assert not question.isVisible(), "it is asked once"
    controller.undo()


@pytest.mark.parametrize("size", [(1280, 720), (960, 460)], ids=str)
def test_nothing_of_the_chart_is_covered_while_it_is_asked_about(size: tuple[int, int], window: Window) -> None:
    window.resize(*size)
    QApplication.processEvents()
    whole = picture(window).picture_area()
    run(window, "ask_picture")
    question = bench_of(window).picture_chart.question
    assert picture(window).picture_area().top() >= question.geometry().bottom() > 0
    assert picture(window).rect().contains(picture(window).picture_area())
    for button in question.findChildren(QAbstractButton):
        assert question.rect().contains(button.geometry()), button.text()
    window.resize(size[0] + 40, size[1])
    QApplication.processEvents()
    assert question.width() == picture(window).width()
    question.cancel()
    window.resize(*size)
    QApplication.processEvents()
    assert picture(window).picture_area() == whole


@pytest.mark.parametrize("view", View)
@pytest.mark.parametrize("eye", Eye)
def test_chart_and_picture_say_the_same_zoomed_or_not(window: Window, view: View, eye: Eye) -> None:
    from annotator.model import edits

    controller = controller_of(window)
    controller.set_picture(view)
    controller.do(lambda case: edits.set_eye(case, eye))
    run(window, "place_from_picture")
    assert bench_of(window).record_page.place_panel.chart.spot(Field(3, "ora")) is not None
    for field in (Field(2, "mid-periphery"), Field(0, "disc")):
        QTest.mouseClick(picture(window), LEFT_BUTTON, pos=spot(window, field, view))
        assert controller.selected is not None
        assert controller.selected.place == {field}
        picture(window).zoom_picture_in()
        picture(window).zoom_picture_in()
        QTest.mouseClick(picture(window), LEFT_BUTTON, pos=spot(window, field, view))
        assert controller.selected.place == frozenset()
        picture(window).fit_picture()


def test_a_drag_moves_what_is_zoomed_and_says_no_place(window: Window) -> None:
    controller_of(window).set_picture(View.UPRIGHT)
    run(window, "place_from_picture")
    picture(window).actual_size()
    picture(window).zoom_picture_in()
    picture(window).zoom_picture_in()
    before = picture(window).picture_area()
    middle = picture(window).rect().center()
    QTest.mousePress(picture(window), LEFT_BUTTON, pos=middle)
    QTest.mouseMove(picture(window), middle + QPoint(60, 40))
    QTest.mouseRelease(picture(window), LEFT_BUTTON, pos=middle + QPoint(60, 40))
    assert place(window) == ""
    assert picture(window).is_zoomed
    assert before.isValid()


def test_the_chart_is_shown_while_it_plays_with_the_place_of_the_selected_tag(window: Window, qtbot: QtBot) -> None:
    controller = controller_of(window)
    controller.set_picture(View.UPRIGHT)
    controller.describe_selected(place=parse_place("3 far periphery"))
    bare = picture(window).grab().toImage()
    run(window, "show_picture_chart")
    shown = picture(window).grab().toImage()
    assert window.commands.actions["show_picture_chart"].isChecked()
    at = spot(window, Field(3, "far periphery"), View.UPRIGHT)
    around = [QPointF(at.x() + x, at.y() + y).toPoint() for x in range(-8, 9) for y in range(-8, 9)]
    assert any(bare.pixelColor(one) != shown.pixelColor(one) for one in around)
    QTest.mouseClick(picture(window), LEFT_BUTTON, pos=at)
    assert place(window) == "3 far periphery", "it is only shown"
    with qtbot.waitSignal(window.player.shown):
        window.player.play()
    window.player.pause()
    assert window.commands.actions["show_picture_chart"].isChecked()
    run(window, "show_picture_chart")
    assert not window.commands.actions["show_picture_chart"].isChecked()


def test_who_thinks_better_of_it_has_no_chart(window: Window) -> None:
    question = bench_of(window).picture_chart.question
    run(window, "show_picture_chart")
    focused = question.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, Qt.Key.Key_Escape)
    assert not question.isVisible()
    assert not window.commands.actions["show_picture_chart"].isChecked()
    assert controller_of(window).case.recordings[0].picture is None
    assert controller_of(window).running() is not None, "Escape left the question and ended nothing"
