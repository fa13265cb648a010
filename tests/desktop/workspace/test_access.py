"""Everything has a name, is reached by Tab in the order in which one reads, shows its focus and is large enough."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QHeaderView,
    QLineEdit,
    QMenu,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from tests.desktop.accessible import name_of, nameless, of, scroll_to, seen, tab_round, walk, without_purpose
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag

CONTROLS = (QAbstractButton, QAbstractItemView, QComboBox, QLineEdit)


def start(_window: Window) -> None:
    """The first screen, as it is."""


def chosen(window: Window) -> None:
    controller_of(window).select(controller_of(window).case.tags[0].id)


def several(window: Window) -> None:
    controller = controller_of(window)
    controller.tag(controller.case.vocabulary.match("bleeding").iri)
    ids = [one.id for one in controller.case.tags]
    controller.select(ids[0], ids)


def large_chart(window: Window) -> None:
    chosen(window)
    bench_of(window).panels.enlarge_chart()


def folded(window: Window) -> None:
    bench_of(window).panels.fold_sheet()
    bench_of(window).panels.fold_side()


def publish(window: Window) -> None:
    bench_of(window).panels.show_publish()


def summary(window: Window) -> None:
    bench_of(window).panels.show_summary()


def check(window: Window) -> None:
    controller = controller_of(window)
    controller.tag(controller.case.vocabulary.match("gas").iri)
    bench_of(window).panels.show_findings()


def palette(window: Window) -> None:
    window.commands.actions["find_command"].trigger()


def editing(part: str) -> Callable[[Window], None]:
    def edit(window: Window) -> None:
        chosen(window)
        window.commands.actions[part].trigger()

    return edit


def settings(window: Window) -> None:
    window.commands.actions["show_settings"].trigger()


STATES: dict[str, Callable[[Window], None]] = {
    "chosen": chosen,
    "several": several,
    "large chart": large_chart,
    "folded": folded,
    "publish": publish,
    "summary": summary,
    "check": check,
    "palette": palette,
    "settings": settings,
    "typing a start": editing("edit_start"),
    "typing an end": editing("edit_end"),
    "typing a step": editing("edit_step"),
    "typing a note": editing("edit_note"),
    "choosing who did it": editing("edit_by"),
}


@pytest.fixture
def bench(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, running and chosen."""
    window = opened(recording)
    tag(qtbot, window, "c")
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.waitUntil(lambda: bench_of(window).strips.is_done)  # while it is read, there are buttons to stop that
    return window


@pytest.fixture(params=STATES, ids=str)
def state(request: pytest.FixtureRequest, bench: Window, qtbot: QtBot) -> Window:
    """The bench in each of its states."""
    STATES[request.param](bench)
    for _ in range(3):
        QApplication.processEvents()
    return bench


def visible_controls(window: QWidget) -> list[QWidget]:
    found = [one for one in window.findChildren(QWidget) if isinstance(one, CONTROLS) and one.isVisible()]
    # Parts that Qt makes inside its own widgets: the list of a combo box, the button that clears a field, the heads of
    # a table, whose order a field beside it has too.
    return [
        one
        for one in found
        if not isinstance(one.parent(), QComboBox | QLineEdit)
        and one.window() is window
        and not isinstance(one, QHeaderView)
    ]


def test_the_start_screen_has_names(window: Window) -> None:
    assert nameless(window) == []
    buttons = [name_of(one) for one in walk(of(window)) if one.role() is QAccessible.Role.Button]
    assert buttons[:3] == ["Open recordings", "Open case", "Try the sample"]


def test_the_start_screen_is_reached_by_tab(window: Window) -> None:
    window.activateWindow()
    first = visible_controls(window)[0]
    first.setFocus()
    assert set(visible_controls(window)) <= set(tab_round(window))


def test_everything_has_a_name_and_is_large_enough(state: Window) -> None:
    """WCAG 2.2, 4.1.2 and 2.5.8: names for all, targets of at least 24 by 24 pixels, room for every button's words."""
    assert (state.width(), state.height()) == (1280, 720)
    assert nameless(state) == []
    for one in walk(of(state)):
        assert "&" not in name_of(one), name_of(one)
    for control in visible_controls(state):
        assert min(control.width(), control.height()) >= 24, (control, control.accessibleName(), control.size())
        if isinstance(control, QAbstractButton) and control.text():
            assert control.width() >= control.minimumSizeHint().width(), (control, control.accessibleName())


@pytest.mark.parametrize("name", ["chosen", "several", "choosing who did it", "settings", "publish", "summary"])
def test_choices_say_what_they_are_for(name: str, bench: Window) -> None:
    STATES[name](bench)
    assert without_purpose(bench) == []


@pytest.mark.parametrize("name", ["chosen", "folded", "publish", "summary", "check", "large chart"])
def test_tab_reaches_everything_as_one_reads_and_shows_where_it_is(name: str, bench: Window) -> None:
    """From the top to the foot, and in the middle from left to right."""
    STATES[name](bench)
    picture = bench_of(bench).picture
    picture.setFocus()
    QApplication.processEvents()
    stops = tab_round(bench)
    for one in visible_controls(bench):
        if one.isEnabled() and not (isinstance(one, QAbstractButton) and one.group()):
            assert one in stops, (one, one.accessibleName())
    passed = regions_passed(bench, stops[1:])
    first = passed.index(min(passed))  # where the summary hides the picture, the round begins further on
    assert passed[first:] + passed[:first] == sorted(passed)
    for stop in stops[1:]:
        scroll_to(stop)
        stop.setFocus(Qt.FocusReason.TabFocusReason)
        focused = seen(bench, stop)
        stop.clearFocus()
        assert seen(bench, stop) != focused, f"{stop}, {stop.accessibleName()}, does not show its focus"


def regions_passed(window: Window, stops: list[QWidget]) -> list[int]:
    """The number of the region of each stop, in the order of reading; what lies over the regions is left out."""
    parts = bench_of(window)
    regions = [parts.top, parts.first_steps, *parts.panels.columns.from_left, parts.transport]
    found = ([number for number, region in enumerate(regions) if region.isAncestorOf(stop)] for stop in stops)
    return [numbers[0] for numbers in found if numbers]


@pytest.mark.parametrize(
    ("height", "place"),
    [
        (720, ["Place: not said"]),
        (900, ["Retina chart", "Show or hide large retina chart", "Eye", "How the picture stands"]),
    ],
)
def test_tab_goes_through_the_form_as_one_reads(bench: Window, height: int, place: list[str]) -> None:
    bench.resize(1280, height)
    bench_of(bench).record.setFocus()
    expected = ["Tag list", "Start", "End", "Done by", "Certainty", "Note", *place]
    assert [stop.accessibleName() for stop in tab_round(bench)][: len(expected)] == expected


def test_every_command_is_within_reach_of_keys(bench: Window) -> None:
    """By a key of its own or, as all are, by name."""
    found = {action.text() for action in bench.commands.all()}
    for button in bench.findChildren(QToolButton):
        action = button.defaultAction()
        if action is not None and action.menu() is None and not isinstance(button.parent(), QLineEdit):
            assert action.text() in found


def test_the_picture_is_told_when_it_is_missing(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    path = controller_of(window).session.path
    window.close_case()
    recording.unlink()
    opened(path)
    assert "is not where it was" in bench_of(window).picture.accessibleDescription()


def test_the_menu_is_named_through_and_through(bench: Window) -> None:
    menu = next(one for one in bench.findChildren(QToolButton) if one.accessibleName() == "Menu")
    action = menu.defaultAction()
    assert action is not None
    whole = action.menu()
    assert isinstance(whole, QMenu)
    for part in whole.actions():
        assert part.text()
        inner = part.menu()
        assert not isinstance(inner, QMenu) or all(one.text() or one.isSeparator() for one in inner.actions())


def test_a_menu_is_one_column_that_a_laptop_has_room_for(bench: Window) -> None:
    """And it offers what mends something only while something is broken."""
    whole = bench.commands.menu(bench)
    for part in whole.actions():
        inner = part.menu()
        assert isinstance(inner, QMenu)
        inner.popup(QPoint(0, 0))
        shown = [one for one in inner.actions() if one.isVisible()]
        assert len({inner.actionGeometry(one).left() for one in shown}) == 1, part.text()
        assert inner.sizeHint().height() < 720 or part.text() == "View", part.text()
        assert not shown[0].isSeparator()
        assert not shown[-1].isSeparator()
        inner.close()


def test_a_menu_offers_to_find_a_recording_once_it_is_missing(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    case = next(one.menu() for one in window.commands.menu(window).actions() if one.text() == "Case")
    assert isinstance(case, QMenu)
    find, again = (window.commands.actions[does] for does in ("find_recording", "try_to_change"))
    assert find not in case.actions()
    path = controller_of(window).session.path
    window.close_case()
    recording.unlink()
    opened(path)
    case.aboutToShow.emit()
    assert find in case.actions()
    assert again not in case.actions()


def test_a_screen_reader_finds_the_chosen_line(bench: Window) -> None:
    record = bench_of(bench).record
    record.setFocus()
    line = of(record).focusChild()
    assert name_of(line) == "00:00:00.000, Core vitrectomy, running"
    assert of(record).rect().contains(line.rect().center())
