"""The retina chart: by pointer and by keys, for eyes and screen readers, one undoable change a gesture."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QAccessible, QAction, QContextMenuEvent, QMouseEvent, QPainterPath, QPolygonF, QTransform
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QMessageBox, QStyle, QStyleOptionComboBox, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.retina.chart import RetinaChart
from annotator.desktop.retina.large_chart import LargeChart
from annotator.desktop.retina.place_panel import PlacePanel
from annotator.desktop.retina.shape import LARGE, ChartShape
from annotator.desktop.theme.tokens import DARK, LIGHT, ROW, Colours, contrast
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.place import FIELDS, Field, parse_place, print_place
from annotator.model.retina import Round, View, angle_of, centre, is_area, outline, point
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag

LEFT_BUTTON = Qt.MouseButton.LeftButton


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, running and selected, in a window with room for the small chart."""
    window.resize(1280, 1000)
    opened(recording)
    tag(qtbot, window, "c")
    QApplication.processEvents()
    return window


def panel(window: Window) -> PlacePanel:
    return bench_of(window).record_page.place_panel


def chart(window: Window) -> RetinaChart:
    return panel(window).chart


def large(window: Window) -> RetinaChart:
    return panel(window).large.chart


def place(window: Window) -> str:
    chosen = controller_of(window).selected
    assert chosen is not None
    return print_place(chosen.place)


def spot(window: Window, hour: int, zone: str) -> QPoint:
    return chart(window).spot(Field(hour, zone)).toPoint()


def drag(window: Window, *fields: tuple[int, str]) -> None:
    first, *rest = (spot(window, *field) for field in fields)
    QTest.mousePress(chart(window).viewport(), LEFT_BUTTON, pos=first)
    for at in rest:
        _move(chart(window).viewport(), at)
    QTest.mouseRelease(chart(window).viewport(), LEFT_BUTTON, pos=rest[-1])


def _move(widget: QWidget, at: QPoint) -> None:
    """What the widget gets while a button is held; the pointer of the machine stays where it is."""
    where, nothing = QPointF(at), Qt.KeyboardModifier.NoModifier
    moved = QMouseEvent(
        QEvent.Type.MouseMove, where, widget.mapToGlobal(where), Qt.MouseButton.NoButton, LEFT_BUTTON, nothing
    )
    QApplication.sendEvent(widget, moved)


def told(window: Window) -> str:
    """What a screen reader is told of the field that the keys would change."""
    return QAccessible.queryAccessibleInterface(chart(window)).focusChild().text(QAccessible.Text.Name)


def pick(box_of: PlacePanel, which: str, words: str) -> None:
    box = box_of.options.eye if which == "eye" else box_of.options.view
    box.setCurrentText(words)
    assert box.currentText() == words
    box.activated.emit(box.currentIndex())


def test_a_click_chooses_a_field_and_another_frees_it(window: Window, qtbot: QtBot) -> None:
    for expected in ("5 mid-periphery", ""):
        with qtbot.waitSignal(controller_of(window).changed):
            QTest.mouseClick(chart(window).viewport(), LEFT_BUTTON, pos=spot(window, 5, "mid-periphery"))
        assert place(window) == expected
    QTest.mouseClick(chart(window).viewport(), LEFT_BUTTON, pos=QPoint(2, chart(window).height() - 2))
    assert place(window) == "", "beside the disc is no field"


def test_a_drag_paints_and_is_one_change(window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(controller_of(window).changed):
        drag(window, (4, "mid-periphery"), (5, "mid-periphery"), (6, "mid-periphery"))
    assert place(window) == "4-6 mid-periphery"
    with qtbot.waitSignal(controller_of(window).changed):
        drag(window, (5, "mid-periphery"), (6, "mid-periphery"))
    assert place(window) == "4 mid-periphery", "a drag that starts on a chosen field frees"
    for expected in ("4-6 mid-periphery", ""):
        controller_of(window).undo()
        assert place(window) == expected
        assert chart(window).place == parse_place(expected)


def test_a_quick_drag_skips_no_field(window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(controller_of(window).changed):
        drag(window, (12, "far periphery"), (6, "far periphery"))
    zones = "posterior", "mid-periphery", "far periphery"
    assert place(window) == "; ".join(["fovea", "macula", *(f"6/12 {zone}" for zone in zones)])


def test_a_change_from_elsewhere_drops_a_drag(window: Window) -> None:
    QTest.mousePress(chart(window).viewport(), LEFT_BUTTON, pos=spot(window, 4, "posterior"))
    assert chart(window).place == parse_place("4 posterior")
    controller_of(window).select(None)
    controller_of(window).rename("Another title")
    controller_of(window).select(controller_of(window).case.tags[0].id)
    QTest.mouseRelease(chart(window).viewport(), LEFT_BUTTON, pos=spot(window, 4, "posterior"))
    assert (place(window), chart(window).place) == ("", frozenset())


def test_it_is_worked_by_keys_and_told_to_a_screen_reader(window: Window, qtbot: QtBot) -> None:
    chart(window).setFocus(Qt.FocusReason.TabFocusReason)
    assert told(window) == "12 o'clock, far periphery, not selected"
    inward = Qt.Key.Key_Down, Qt.Key.Key_Down  # over the equator
    for key in (Qt.Key.Key_Left, *inward, Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Space):
        QTest.keyClick(chart(window), key)
    assert place(window) == "11-12 mid-periphery"
    assert told(window) == "12 o'clock, mid-periphery, selected"
    assert "11–12 o'clock, mid-periphery; eye not given, upright." in chart(window).accessibleDescription()
    assert not window.player.is_playing, "Space belongs to the chart while it has the focus"
    QTest.keyClick(chart(window), Qt.Key.Key_Escape)
    assert not chart(window).hasFocus()
    assert controller_of(window).running() is not None, "Escape left the chart and ended nothing"


def test_what_is_too_thin_for_the_pointer_is_in_the_shortcut_menu(window: Window, qtbot: QtBot) -> None:
    def offered() -> dict[str, QAction]:
        at = spot(window, 5, "posterior")
        here = chart(window).viewport()
        asks = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, here.mapToGlobal(at))
        QApplication.sendEvent(here, asks)
        menu = QApplication.activePopupWidget()
        assert isinstance(menu, QMenu)
        menu.close()
        return {one.text(): one for one in menu.actions() if not one.isSeparator()}

    assert list(offered())[:4] == [
        "5 o'clock, equator",
        "5 o'clock, ora",
        "5 o'clock, pars plana",
        "Superotemporal arcade",
    ]
    for name, expected in (
        ("Superotemporal arcade", "superotemporal arcade"),
        ("5 o'clock, equator", "superotemporal arcade; 5 equator"),
        ("Superotemporal arcade", "5 equator"),
    ):
        with qtbot.waitSignal(controller_of(window).changed):
            offered()[name].trigger()
        assert place(window) == expected
    assert [name for name, one in offered().items() if one.isChecked()] == ["5 o'clock, equator"]
    offered()["Clear place"].trigger()
    assert place(window) == ""
    assert not offered()["Clear place"].isEnabled()


def test_the_eye_belongs_to_the_case_and_can_be_undone(window: Window) -> None:
    pick(panel(window), "eye", "left")
    assert controller_of(window).case.eye is Eye.LEFT
    assert window.status.said == "This is a left eye"
    assert panel(window).words.text() == "Where on the retina? Click the fields."
    assert panel(window).options.eye.currentText() == "left"
    controller_of(window).undo()
    assert (controller_of(window).case.eye, panel(window).options.eye.currentText()) == (None, "not said")


def test_places_that_depend_on_the_eye_are_asked_about(window: Window, qtbot: QtBot) -> None:
    top, controller = bench_of(window).top, controller_of(window)

    def say(words: str) -> None:
        top.eye.setCurrentText(words)
        top.eye.activated.emit(top.eye.currentIndex())

    controller.describe_selected(place=parse_place("4 posterior; macula"))
    say("Left eye")
    assert (controller.case.eye, place(window)) == (Eye.LEFT, "macula; 4 posterior"), (
        "no eye was given, so none changes"
    )
    for answer, eye, placed in (
        ("Cancel", "left", "macula; 4 posterior"),
        ("Mirror them", "right", "macula; 8 posterior"),
        ("Keep clock hours", "left", "macula; 8 posterior"),
    ):
        say("Right eye" if controller.case.eye is Eye.LEFT else "Left eye")
        (box,) = (one for one in window.findChildren(QMessageBox) if one.isVisible())
        (button,) = (one for one in box.buttons() if one.text() == answer)
        with qtbot.waitSignal(box.finished):
            button.click()
        assert (str(controller.case.eye), place(window)) == (eye, placed)
        assert top.eye.currentText() == f"{eye.capitalize()} eye"
    controller.undo()
    controller.undo()
    assert (controller.case.eye, place(window)) == (Eye.LEFT, "macula; 4 posterior")


def test_the_chart_turns_with_the_picture_and_the_case_keeps_it(window: Window, opened: Opener) -> None:
    before = spot(window, 12, "posterior")
    pick(panel(window), "view", "surgeon")
    after = spot(window, 12, "posterior")
    assert after.y() > before.y()
    QTest.mouseClick(chart(window).viewport(), LEFT_BUTTON, pos=before)
    assert place(window) == "6 posterior"
    assert panel(window).words.text() == "6 o'clock, posterior"
    assert "eye not given, as the surgeon sits" in chart(window).accessibleDescription()
    assert controller_of(window).case.recordings[0].picture is View.TURNED
    path = controller_of(window).session.path
    window.close_case()
    opened(path)
    controller_of(window).select(controller_of(window).case.tags[0].id)
    assert panel(window).options.view.currentText() == "surgeon"
    pick(panel(window), "view", "not said")
    assert controller_of(window).case.recordings[0].picture is None


def test_the_view_of_before_stands_until_the_picture_is_asked_about(window: Window) -> None:
    window.preferences.retina_view = View.TURNED
    controller_of(window).rename("Another title")
    assert panel(window).options.view.currentText() == "not said"
    assert "as the surgeon sits" in chart(window).accessibleDescription()
    assert panel(window).large.words.text().endswith("(picture not said)")


def test_without_a_chosen_tag_there_is_no_chart(window: Window) -> None:
    assert panel(window).isVisible()
    controller_of(window).select(None)
    assert not panel(window).isVisible()


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
def test_its_marks_stand_out(colours: Colours) -> None:
    """WCAG 2.2, 1.4.11: edges, hatching and focus at 3:1 on what they lie on."""
    for mark, ground in (
        (colours.muted, colours.raised),
        (colours.muted, colours.panel),
        (colours.accent, colours.accent_ground),
        (colours.accent, colours.raised),
        (colours.text, colours.panel),
    ):
        assert contrast(mark, ground) >= 3


def test_a_chosen_field_is_hatched_not_only_tinted(window: Window, qtbot: QtBot) -> None:
    field = Field(3, "far periphery")
    free = _colours_around(window, field)
    with qtbot.waitSignal(controller_of(window).changed):
        controller_of(window).describe_selected(place=frozenset({field}))
    chosen = _colours_around(window, field)
    assert len(free) == 1
    assert {DARK.accent, DARK.accent_ground} <= chosen


def _colours_around(window: Window, field: Field) -> set[str]:
    """The colours of a square of 9 by 9 pixels well within a field."""
    image = large(window).grab().toImage()
    at = large(window).spot(field).toPoint()
    return {image.pixelColor(at.x() + x, at.y() + y).name() for x in range(-4, 5) for y in range(-4, 5)}


def test_home_and_end_go_up_and_down_the_chart(window: Window) -> None:
    chart(window).setFocus()
    for key, expected in ((Qt.Key.Key_Right, 1), (Qt.Key.Key_End, 6), (Qt.Key.Key_Down, 6), (Qt.Key.Key_Home, 12)):
        QTest.keyClick(chart(window), key)
        assert chart(window).at.hour == expected
    assert chart(window).at == Field(12, "equator")


def test_every_field_is_an_item_with_its_name_its_state_and_its_place(window: Window, qtbot: QtBot) -> None:
    """What Qt hands to the screen readers of every system."""
    with qtbot.waitSignal(controller_of(window).changed):
        controller_of(window).describe_selected(place=parse_place("4-6 mid-periphery"))
    items = QAccessible.queryAccessibleInterface(chart(window))
    assert items.role() == QAccessible.Role.List
    fields = [items.child(number) for number in range(items.childCount())]
    assert len(fields) == len(FIELDS) == 79
    chosen = [one.text(QAccessible.Text.Name) for one in fields if one.state().checked]
    assert chosen == [f"{hour} o'clock, mid-periphery, selected" for hour in (4, 5, 6)]
    assert all(one.state().checkable for one in fields)
    corner = chart(window).viewport().mapToGlobal(QPoint(0, 0))
    for field, one in zip(FIELDS, fields, strict=True):
        if centre(field, View.UPRIGHT) is None:
            assert one.rect().isEmpty(), "nobody says on which side disc and arcades are"
            continue
        assert one.rect().contains(chart(window).spot(field).toPoint() + corner), one.text(QAccessible.Text.Name)


def test_a_case_to_look_at_shows_its_places_and_changes_nothing(window: Window, opened: Opener) -> None:
    controller_of(window).describe_selected(place=parse_place("5 posterior"))
    path = controller_of(window).session.path
    window.close_case()
    with Session.open(path):
        opened(path)
        controller_of(window).select(controller_of(window).case.tags[0].id)
        window.activateWindow()
        QTest.keySequence(window, "Ctrl+4")
        assert chart(window).hasFocus()
        for key in (Qt.Key.Key_End, *[Qt.Key.Key_Down] * 3, Qt.Key.Key_Left):
            QTest.keyClick(chart(window), key)
        assert told(window) == "5 o'clock, posterior, selected"
        assert "can't be changed here" in chart(window).accessibleDescription()
        QTest.keyClick(chart(window), Qt.Key.Key_Space)
        QTest.mouseClick(chart(window).viewport(), LEFT_BUTTON, pos=spot(window, 9, "far periphery"))
        assert chart(window).place == parse_place("5 posterior")
        window.close_case()


def test_the_large_chart_stands_beside_and_changes_the_same_place(window: Window, qtbot: QtBot) -> None:
    window.activateWindow()
    QTest.keySequence(window, "Ctrl+5")
    assert large(window).hasFocus()
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.mouseClick(large(window).viewport(), LEFT_BUTTON, pos=large(window).spot(Field(7, "posterior")).toPoint())
    assert place(window) == "7 posterior"
    assert chart(window).place == large(window).place
    assert panel(window).large.words.text() == (
        "Core vitrectomy: 7 o'clock, posterior; eye not given, upright (picture not said)"
    )
    whole = window.rect()
    assert whole.contains(panel(window).large.geometry().translated(bench_of(window).mapTo(window, QPoint(0, 0))))
    QTest.keyClick(large(window), Qt.Key.Key_Escape)
    assert not panel(window).large.isVisible()
    assert controller_of(window).running() is not None, "Escape closed the chart and ended nothing"


@pytest.mark.parametrize("said", ["5 posterior", "1/4/7 posterior; 2/5/9 mid-periphery; 3/11 far periphery; macula"])
def test_the_large_chart_leaves_the_clock_free_in_a_low_window(said: str, window: Window, qtbot: QtBot) -> None:
    window.resize(1280, 640)
    controller_of(window).describe_selected(place=parse_place(said))
    bench_of(window).panels.enlarge_chart()
    sheet, bar = panel(window).large, bench_of(window).top
    qtbot.waitUntil(lambda: sheet.isVisible() and sheet.geometry().top() >= bar.geometry().bottom())
    assert bench_of(window).rect().contains(sheet.geometry())


@pytest.mark.parametrize("view", View)
def test_how_the_picture_stands_is_said_whole(view: View, window: Window) -> None:
    controller_of(window).do(lambda case: edits.set_picture(case, 0, view))
    bench_of(window).panels.enlarge_chart()
    QApplication.processEvents()
    for box in (panel(window).options.view, panel(window).large.options.view):
        assert box.isVisible()
        option, part = QStyleOptionComboBox(), QStyle.SubControl.SC_ComboBoxEditField
        box.initStyleOption(option)
        room = box.style().subControlRect(QStyle.ComplexControl.CC_ComboBox, option, part, box).width()
        assert box.fontMetrics().horizontalAdvance(box.currentText()) <= room
    options = panel(window).options
    assert panel(window).rect().contains(QRect(options.mapTo(panel(window), QPoint(0, 0)), options.size()))


def test_the_large_chart_goes_with_the_choice(window: Window) -> None:
    bench_of(window).panels.enlarge_chart()
    controller_of(window).select(None)
    assert not panel(window).large.isVisible()


@pytest.mark.parametrize("field", [field for field in FIELDS if is_area(field)], ids=str)
def test_every_field_of_the_large_chart_holds_a_target(field: Field) -> None:
    """WCAG 2.2, 2.5.8: a square of 24 pixels, turned with the field, fits in; the small chart leads to this one."""
    shape = ChartShape(LARGE)
    drawn, eye = outline(field, View.UPRIGHT, Eye.RIGHT), Eye.RIGHT
    if isinstance(drawn, Round):
        assert 2 * drawn.radius * LARGE >= 24
        return
    assert drawn is not None
    inner, outer, *_ = drawn
    out = (inner + outer) / 2 if inner else outer - 13 / LARGE  # the innermost fields taper to a tip
    middle = shape.pixel(*point(out, angle_of(field.hour, View.UPRIGHT)))
    turn = QTransform().translate(middle.x(), middle.y()).rotate(angle_of(field.hour, View.UPRIGHT))
    square = QPainterPath()
    square.addPolygon(turn.map(QPolygonF(QRectF(-12, -12, 24, 24))))
    free = shape.outline(field, View.UPRIGHT, eye)
    for part in ("macula", "disc"):
        free -= shape.outline(Field(0, part), View.UPRIGHT, eye)
    assert free.contains(square)


def test_a_long_place_is_cut_in_words_not_in_pixels(window: Window) -> None:
    controller_of(window).describe_selected(
        place=parse_place("1/4/7 posterior; 2/5/9 mid-periphery; 3/11 far periphery")
    )
    assert panel(window).words.text() == "8 fields"
    assert "2, 5 and 9 o'clock, mid-periphery" in panel(window).words.toolTip()
    words = panel(window).words
    assert words.heightForWidth(words.width()) <= words.height()


def test_eight_lines_and_the_whole_chart_stand_in_the_usual_window(window: Window, qtbot: QtBot) -> None:
    bench = bench_of(window)
    bench.first_steps.hide()
    window.resize(1440, 900)
    qtbot.waitUntil(lambda: bench.record.viewport().height() >= 8 * ROW)
    for chart_or_field in (chart(window), panel(window).options.view, panel(window).options.eye):
        assert chart_or_field.visibleRegion().boundingRect() == chart_or_field.rect()


def test_the_large_chart_stays_beside_the_panel_when_the_window_is_resized(window: Window, qtbot: QtBot) -> None:
    QTest.keySequence(window, "Ctrl+5")
    sheet, side = large(window).window().findChild(LargeChart), bench_of(window).panels.side
    assert isinstance(sheet, LargeChart)
    window.resize(1600, 900)

    def stands_beside() -> bool:
        return 0 < side.mapTo(window, side.rect().topLeft()).x() - sheet.mapTo(window, sheet.rect().topRight()).x() < 20

    qtbot.waitUntil(stands_beside)
