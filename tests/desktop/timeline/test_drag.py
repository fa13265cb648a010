"""Dragging in the timeline: the drawing follows the hand, the case changes once, when the tag is let go."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.model.case import Tag
from annotator.publish.report.phase_colours import phase_fills
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, seek, tag
from tests.desktop.films import exact_ms

TIMES = exact_ms(range(151), 30_000, 1_001)
CORE, HYALOID, BLEEDING = range(3)


@pytest.fixture
def tagged(opened: Opener, recording: Path, qtbot: QtBot) -> Window:
    """Core vitrectomy [30, 60), hyaloid [60, 90) and a bleeding at 100, counted in frames of 30000/1001 a second."""
    window = opened(recording)
    for frame, key in ((30, "c"), (60, "h"), (90, "Escape"), (100, "1")):
        seek(qtbot, window, TIMES[frame])
        tag(qtbot, window, key)
    move(qtbot, window, "End")
    return window


def chosen(window: Window, number: int) -> Tag:
    found = controller_of(window).case.tags[number]
    controller_of(window).select(found.id)
    return found


def point(window: Window, ms: int, lane: str = "step") -> QPoint:
    timeline = bench_of(window).timeline
    return QPoint(round(timeline.scale.x(ms)), round(timeline.middle_of(lane)))


def take(window: Window, at: int, lane: str = "step") -> None:
    QTest.mousePress(bench_of(window).timeline, Qt.MouseButton.LeftButton, pos=point(window, at, lane))


def carry(window: Window, at: int, lane: str = "step") -> None:
    QTest.mouseMove(bench_of(window).timeline, point(window, at, lane))
    QApplication.processEvents()


def let_go(window: Window) -> None:
    QTest.mouseRelease(bench_of(window).timeline, Qt.MouseButton.LeftButton, pos=QPoint(300, 5))


def frames(one: Tag) -> tuple[int, int | None]:
    return TIMES.index(one.start), None if one.end is None else TIMES.index(one.end)


def colour_at(window: Window, ms: int) -> QColor:
    """Of the step's band, above its name."""
    spot = point(window, ms)
    return bench_of(window).timeline.grab(QRect(spot.x(), spot.y() - 7, 1, 1)).toImage().pixelColor(0, 0)


def band_colour(window: Window, concept: str) -> QColor:
    return QColor(phase_fills(controller_of(window).case.vocabulary)[concept])


def test_the_band_follows_the_hand_and_the_case_waits(tagged: Window, qtbot: QtBot) -> None:
    hyaloid = chosen(tagged, HYALOID)
    free = colour_at(tagged, TIMES[110])
    take(tagged, TIMES[90])
    carry(tagged, TIMES[120])
    assert colour_at(tagged, TIMES[110]) == band_colour(tagged, hyaloid.concept) != free
    assert controller_of(tagged).case.tags[HYALOID] == hyaloid
    with qtbot.waitSignal(controller_of(tagged).changed):
        let_go(tagged)
    start, end = frames(controller_of(tagged).case.tags[HYALOID])
    assert start == 60
    assert end is not None
    assert abs(end - 120) <= 1
    assert colour_at(tagged, TIMES[110]) == band_colour(tagged, hyaloid.concept)


def test_a_shared_edge_is_drawn_and_moved_as_one(tagged: Window, qtbot: QtBot) -> None:
    chosen(tagged, HYALOID)
    take(tagged, TIMES[60])
    carry(tagged, TIMES[75])
    raised = QColor(tagged.theme.colours.raised)
    assert colour_at(tagged, TIMES[68]) != raised, "the step before takes what this one gives up"
    with qtbot.waitSignal(controller_of(tagged).changed):
        let_go(tagged)
    core, hyaloid, _ = controller_of(tagged).case.tags
    assert core.end == hyaloid.start
    assert abs(frames(hyaloid)[0] - 75) <= 1


def test_an_edge_comes_to_the_very_start(tagged: Window, qtbot: QtBot) -> None:
    chosen(tagged, CORE)
    take(tagged, TIMES[30])
    carry(tagged, 0)
    with qtbot.waitSignal(controller_of(tagged).changed):
        let_go(tagged)
    assert controller_of(tagged).case.tags[CORE].start == 0


def test_a_whole_tag_moves_with_its_length_and_stops_at_its_neighbour(tagged: Window, qtbot: QtBot) -> None:
    chosen(tagged, CORE)
    take(tagged, TIMES[45])
    carry(tagged, TIMES[40])
    carry(tagged, TIMES[30])
    with qtbot.waitSignal(controller_of(tagged).changed):
        let_go(tagged)
    start, end = frames(controller_of(tagged).case.tags[CORE])
    assert abs(start - 15) <= 1
    assert end == start + 30
    chosen(tagged, CORE)
    take(tagged, TIMES[start + 15])
    for frame in range(start + 15, start + 60, 3):
        carry(tagged, TIMES[frame])
    let_go(tagged)
    core, hyaloid, _ = controller_of(tagged).case.tags
    assert core.end is not None
    assert hyaloid.start - 200 <= core.end <= hyaloid.start
    tag(qtbot, tagged, "Ctrl+Z")
    assert frames(controller_of(tagged).case.tags[CORE]) == (start, end)


def test_a_click_on_the_chosen_tag_moves_nothing(tagged: Window) -> None:
    before = controller_of(tagged).case
    chosen(tagged, CORE)
    take(tagged, TIMES[45])
    QTest.mouseMove(bench_of(tagged).timeline, point(tagged, TIMES[45]) + QPoint(3, 1))
    let_go(tagged)
    assert controller_of(tagged).case == before


def test_another_tag_is_never_moved(tagged: Window) -> None:
    before = controller_of(tagged).case
    chosen(tagged, HYALOID)
    take(tagged, TIMES[45])
    carry(tagged, TIMES[20])
    let_go(tagged)
    assert controller_of(tagged).case == before


def test_a_moment_is_carried(tagged: Window, qtbot: QtBot) -> None:
    chosen(tagged, BLEEDING)
    take(tagged, TIMES[100], "event")
    carry(tagged, TIMES[110], "event")
    carry(tagged, TIMES[120], "event")
    with qtbot.waitSignal(controller_of(tagged).changed):
        let_go(tagged)
    start, end = frames(controller_of(tagged).case.tags[BLEEDING])
    assert start == end
    assert abs(start - 120) <= 1


def test_a_change_in_the_meantime_ends_the_drag(tagged: Window, qtbot: QtBot) -> None:
    chosen(tagged, HYALOID)
    take(tagged, TIMES[90])
    carry(tagged, TIMES[120])
    tag(qtbot, tagged, "Ctrl+Z")
    before = controller_of(tagged).case
    let_go(tagged)
    assert controller_of(tagged).case == before


def test_escape_leaves_what_is_dragged_where_it_was(tagged: Window) -> None:
    before = controller_of(tagged).case
    chosen(tagged, HYALOID)
    take(tagged, TIMES[90])
    carry(tagged, TIMES[120])
    QTest.keyClick(bench_of(tagged).timeline, Qt.Key.Key_Escape)
    carry(tagged, TIMES[110])
    let_go(tagged)
    assert controller_of(tagged).case == before
