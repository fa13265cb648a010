"""Zoom of the picture: what is under the pointer stays there, no edge of the view is left empty, all is found again."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.desktop.workspace.picture import Picture
from annotator.desktop.workspace.zoom import Room, Zoom
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, move, seek
from tests.desktop.films import film

numbers = st.floats(0.05, 20, allow_nan=False)


@st.composite
def rooms(draw: st.DrawFn) -> Room:
    width, height, shape = draw(st.integers(50, 3000)), draw(st.integers(50, 3000)), draw(st.floats(0.2, 5))
    wide = min(width, height * shape)
    fitted = QRectF((width - wide) / 2, (height - wide / shape) / 2, wide, wide / shape)
    return Room(QRectF(0, 0, width, height), fitted, draw(numbers))


@given(rooms(), st.lists(st.tuples(numbers, st.floats(0, 1), st.floats(0, 1)), max_size=8))
def test_the_picture_fills_the_view_as_far_as_it_can(room: Room, turns: list[tuple[float, float, float]]) -> None:
    zoom = Zoom()
    for by, x, y in turns:
        about = QPointF(x * room.view.width(), y * room.view.height())
        zoom = zoom.zoomed(by, about, room).moved(about - room.view.center(), room)
        area = zoom.area(room)
        assert zoom.factor >= 1
        for start, end, last in (
            (area.left(), area.right(), room.view.right()),
            (area.top(), area.bottom(), room.view.bottom()),
        ):
            fills = start <= 1e-6 and end >= last - 1e-6
            assert fills or start + end == pytest.approx(last), "it fills the view, or stands in the middle of it"
        assert area.width() / area.height() == pytest.approx(room.fitted.width() / room.fitted.height())


@given(rooms(), st.floats(0.3, 0.7), st.floats(0.3, 0.7))
def test_what_is_under_the_pointer_stays_there(room: Room, x: float, y: float) -> None:
    """From near enough that no edge of the picture comes into the view."""
    zoom = Zoom(7.0, 0.5, 0.5)
    about = QPointF(x * room.view.width(), y * room.view.height())
    before, after = zoom.area(room), zoom.zoomed(1.1, about, room).area(room)
    assume(before.width() > 1.5 * room.view.width() and before.height() > 1.5 * room.view.height())
    assert (about.x() - before.left()) / before.width() == pytest.approx((about.x() - after.left()) / after.width())
    assert (about.y() - before.top()) / before.height() == pytest.approx((about.y() - after.top()) / after.height())


@given(rooms())
def test_out_again_is_all_of_it(room: Room) -> None:
    middle = room.view.center()
    assert Zoom().zoomed(3, QPointF(0, 0), room).zoomed(0.01, middle, room).area(room) == Zoom().area(room)


# --- in the window ---------------------------------------------------------------------------------------------


@pytest.fixture
def picture(window: Window, opened: Opener, tmp_path_factory: pytest.TempPathFactory) -> Picture:
    """Of a recording that is larger than the window, so that 100 % is nearer than fitted."""
    path = tmp_path_factory.mktemp("large") / "large.mp4"
    return bench_of(opened(film(path, 40, "25", "-vf", "scale=1920:1080:flags=neighbor", "-g", "5"))).picture


def turn(picture: Picture, at: QPoint, notches: int = 1) -> None:
    """Turn the wheel, away from the hand."""
    event = QWheelEvent(
        QPointF(at), QPointF(picture.mapToGlobal(at)), QPoint(), QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(picture, event)


def test_the_wheel_zooms_about_the_pointer_and_a_drag_moves(picture: Picture) -> None:
    fitted, at = picture.picture_area(), picture.rect().center() + QPoint(60, 30)
    turn(picture, at, 4)
    near = picture.picture_area()
    assert near.width() == pytest.approx(fitted.width() * 1.25**4, abs=1)
    assert (at.x() - near.left()) / near.width() == pytest.approx((at.x() - fitted.left()) / fitted.width(), abs=0.01)
    QTest.mousePress(picture, Qt.MouseButton.LeftButton, pos=at)
    assert picture.cursor().shape() is Qt.CursorShape.ClosedHandCursor
    QTest.mouseMove(picture, at - QPoint(40, 20))
    QTest.mouseRelease(picture, Qt.MouseButton.LeftButton, pos=at - QPoint(40, 20))
    assert picture.picture_area().topLeft() == near.topLeft() - QPoint(40, 20)
    QTest.mouseMove(picture, at)
    assert picture.picture_area().topLeft() == near.topLeft() - QPoint(40, 20), "no button is held any more"
    turn(picture, at, -20)
    assert picture.picture_area() == fitted
    assert picture.zoom_text == ""


def test_a_double_click_shows_the_pictures_own_pixels_and_all_of_it_again(picture: Picture, window: Window) -> None:
    fitted = picture.picture_area()
    QTest.mouseDClick(picture, Qt.MouseButton.LeftButton, pos=picture.rect().center())
    assert picture.picture_area().size() == QSize(1920, 1080)
    assert picture.zoom_text == "100 %"
    assert window.commands.actions["fit_picture"].isEnabled()
    QTest.mouseDClick(picture, Qt.MouseButton.LeftButton, pos=picture.rect().center())
    assert picture.picture_area() == fitted
    assert not window.commands.actions["fit_picture"].isEnabled()


def test_keys_zoom_and_move_too(picture: Picture, window: Window) -> None:
    fitted = picture.picture_area()
    QTest.keySequence(window, "Alt+1")
    assert picture.zoom_text == "100 %"
    before = picture.picture_area()
    QTest.keySequence(window, "Ctrl+Shift+Left")
    assert picture.picture_area().left() > before.left()
    QTest.keySequence(window, "Alt+=")
    assert picture.zoom_text == "125 %"
    QTest.keySequence(window, "Alt+-")
    QTest.keySequence(window, "Alt+0")
    assert picture.picture_area() == fitted


def test_zoom_stays_while_seeking_also_where_a_small_copy_is_shown_first(
    picture: Picture, window: Window, qtbot: QtBot
) -> None:
    QTest.keySequence(window, "Alt+1")
    before = picture.picture_area()
    seek(qtbot, window, 800)
    move(qtbot, window, ".")
    assert picture.picture_area() == before
    small = picture.image.scaled(320, 180)
    picture.show_picture(small, 16 / 9, 1080)
    assert picture.picture_area() == before
    assert picture.zoom_text == "100 %"


def test_the_caption_stays_where_it_is(picture: Picture, window: Window, qtbot: QtBot) -> None:
    QTest.keySequence(window, "C")
    seek(qtbot, window, 800)

    def dark_of_caption() -> list[bool]:
        """Along a line through where the caption stands."""
        image, area = picture.grab().toImage(), fitted
        y = area.bottom() - 30
        return [image.pixelColor(x, y).lightness() < 40 for x in range(area.left() + 17, area.left() + 26)]

    fitted = picture.picture_area()
    assert all(dark_of_caption())
    QTest.keySequence(window, "Alt+1")
    assert all(dark_of_caption())
