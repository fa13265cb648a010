"""The lists keep Qt's rules for models; the timeline finds its way between time and pixels."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QAbstractItemModel, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from annotator.desktop.timeline.scale import CLOSEST, Scale, tick_step, tick_text
from annotator.model.timecode import HOUR
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag

WHOLE = 3 * HOUR


@st.composite
def scales(draw: st.DrawFn) -> Scale:
    start = draw(st.integers(0, WHOLE - CLOSEST))
    end = draw(st.integers(start + CLOSEST, WHOLE))
    return Scale(start, end, 100, draw(st.integers(300, 3000)))


@given(scales(), st.floats(0.1, 10), st.floats(0, 1))
def test_zoom_keeps_what_is_under_the_pointer(scale: Scale, factor: float, share: float) -> None:
    about = scale.start + round(share * (scale.end - scale.start))
    zoomed = scale.zoomed(factor, about, WHOLE)
    assert 0 <= zoomed.start < zoomed.end <= WHOLE
    assert zoomed.end - zoomed.start >= CLOSEST
    if zoomed.start > 0 and zoomed.end < WHOLE:
        ms_per_pixel = (zoomed.end - zoomed.start) / zoomed.width
        assert abs(zoomed.x(about) - scale.x(about)) * ms_per_pixel <= 1 + 2 * ms_per_pixel


@given(scales(), st.integers(0, WHOLE))
def test_time_to_pixels_and_back(scale: Scale, at: int) -> None:
    ms_per_pixel = (scale.end - scale.start) / scale.width
    assert abs(scale.at(scale.x(at)) - at) <= 1 + ms_per_pixel * 1e-6


@given(scales())
def test_ticks_stand_apart(scale: Scale) -> None:
    step = tick_step(scale)
    assert scale.x(step) - scale.x(0) >= 90 or step == 2 * HOUR


def test_tick_texts() -> None:
    assert tick_text(300_000, 60_000) == "05:00"
    assert tick_text(3_900_000, 60_000) == "1:05:00"
    assert tick_text(12_400, 200) == "00:12.40"


def keep_the_rules(tester: ModelTester, *models: QAbstractItemModel) -> None:
    for model in models:
        tester.check(model)  # type: ignore[no-untyped-call]  # pytest-qt has no types for it


def test_the_lists_keep_the_rules_of_models(
    recording: Path, opened: Opener, qtbot: QtBot, qtmodeltester: ModelTester
) -> None:
    window = opened(recording)
    bench = bench_of(window)
    keep_the_rules(qtmodeltester, bench.record.record, bench.sheet.model)
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    tag(qtbot, window, "1")
    bench.sheet.field.setText("staining")
    bench.sheet.field.setText("")
    tag(qtbot, window, "Ctrl+Z")
    keep_the_rules(qtmodeltester, bench.record.record, bench.sheet.model)


def test_the_record_goes_to_a_tag(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "c")
    seek(qtbot, window, 3003)
    record = bench_of(window).record
    place = record.visualRect(record.record.index(0)).center()
    QTest.mouseClick(record.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert controller_of(window).selected == controller_of(window).case.tags[0]
    with qtbot.waitSignal(window.player.shown):
        QTest.mouseDClick(record.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.player.at == 1001


def test_an_edge_is_dragged_to_a_frame_and_the_picture_follows(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "c")
    seek(qtbot, window, 2002)
    tag(qtbot, window, "Escape")
    timeline = bench_of(window).timeline
    controller_of(window).select(controller_of(window).case.tags[0].id)
    y = round(timeline.middle_of("step"))
    grab = QPoint(round(timeline.scale.x(2002)), y)
    QTest.mousePress(timeline, Qt.MouseButton.LeftButton, pos=grab)
    with qtbot.waitSignal(window.player.shown):
        QTest.mouseMove(timeline, QPoint(round(timeline.scale.x(3010)), y))
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.mouseRelease(timeline, Qt.MouseButton.LeftButton, pos=QPoint(round(timeline.scale.x(3010)), y))
    ended = controller_of(window).case.tags[0].end
    assert ended is not None
    assert ended == controller_of(window).frames.nearest(ended)
    assert abs(ended - 3010) < 20


def test_a_click_on_the_timeline_goes_there(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    timeline = bench_of(window).timeline
    with qtbot.waitSignal(window.player.shown):
        QTest.mouseClick(
            timeline,
            Qt.MouseButton.LeftButton,
            pos=QPoint(round(timeline.scale.x(2500)), round(timeline.middle_of("step"))),
        )
    assert abs(window.player.at - 2500) < 40


def test_the_wheel_zooms_about_the_pointer(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    timeline = bench_of(window).timeline
    before = timeline.scale
    under = before.at(700)
    place = QPointF(700, 60)
    turn = QWheelEvent(
        place,
        timeline.mapToGlobal(place),
        QPoint(),
        QPoint(0, 240),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(timeline, turn)
    assert timeline.scale.end - timeline.scale.start < before.end - before.start
    assert abs(timeline.scale.at(700) - under) <= 5
