"""The form of the chosen tag: typed times, what several tags have in common, and that it gives the keys back."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.form_text import MOST_LINES, FormText
from annotator.desktop.widgets.scroll import FittingScroll
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Certainty, Tag
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, controller_of, seek, tag


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy and hyaloid separation, a second each; the second is chosen."""
    opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (2002, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    return window


def line(window: Window, name: str) -> QLineEdit:
    fields = bench_of(window).record_page.tag_panel.findChildren(QLineEdit)
    return next(one for one in fields if one.accessibleName() == name)


def note(window: Window) -> FormText:
    return next(iter(bench_of(window).record_page.tag_panel.findChildren(FormText)))


def box(window: Window, name: str) -> QComboBox:
    boxes = bench_of(window).record_page.tag_panel.findChildren(QComboBox)
    return next(one for one in boxes if one.accessibleName() == name)


def type_into(window: Window, name: str, text: str, key: Qt.Key = Qt.Key.Key_Return) -> None:
    field = line(window, name)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, key)


def ranges(window: Window) -> list[tuple[int, int | None]]:
    return [(one.start, one.end) for one in controller_of(window).case.tags]


def test_typed_times_land_on_frames_and_the_neighbour_gives_way(window: Window, qtbot: QtBot) -> None:
    """30000/1001 frames a second: frame 27 is at ceil(900.9) ms, frame 75 at ceil(2502.5)."""
    type_into(window, "Start", "0:00.9")
    assert ranges(window) == [(0, 901), (901, 2002)]
    type_into(window, "End", "2,49")
    assert ranges(window) == [(0, 901), (901, 2503)]
    assert (line(window, "Start").text(), line(window, "End").text()) == ("00:00:00.901", "00:00:02.503")
    qtbot.waitUntil(lambda: clock_ms(window) == 2503)


def test_an_end_past_the_recording_is_its_end(window: Window) -> None:
    type_into(window, "End", "1:00:00")
    assert ranges(window)[1] == (1001, controller_of(window).case.duration)


def test_a_wrong_time_is_said_with_what_is_expected_and_stays(window: Window) -> None:
    type_into(window, "End", "later")
    assert "“later” is not a time" in window.status.said
    assert "seconds, such as" in window.status.said
    assert line(window, "End").text() == "later"
    assert line(window, "End").hasFocus()
    bench_of(window).picture.setFocus()
    assert line(window, "End").text() == "00:00:02.002", "left, the field shows the truth again"
    assert ranges(window) == [(0, 1001), (1001, 2002)]


def test_a_refused_time_is_said(window: Window) -> None:
    type_into(window, "End", "0.5")
    assert "before it starts" in window.status.said
    assert ranges(window) == [(0, 1001), (1001, 2002)]


def test_escape_brings_the_old_text_back(window: Window) -> None:
    type_into(window, "Start", "1.5", Qt.Key.Key_Escape)
    assert line(window, "Start").text() == "00:00:01.001"
    assert ranges(window) == [(0, 1001), (1001, 2002)]
    assert not line(window, "Start").hasFocus()


def test_return_gives_the_keys_back(window: Window, qtbot: QtBot) -> None:
    note(window).setFocus()
    QTest.keyClicks(note(window), "calm")
    QTest.keyClick(note(window), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert controller_of(window).case.tags[1].note == "calm"
    seek(qtbot, window, 2503)
    tag(qtbot, window, "b")
    assert len(controller_of(window).case.tags) == 3


def test_a_note_has_several_lines_and_is_as_high_as_they_are(window: Window, qtbot: QtBot) -> None:
    field, controller = note(window), controller_of(window)
    low = field.height()
    window.activateWindow()
    field.setFocus()
    qtbot.waitUntil(field.hasFocus)
    assert "Ctrl+Return confirms" in window.status.keys_text
    for text in ("first", "second"):
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)
    QTest.keyClicks(field, "third")
    qtbot.waitUntil(lambda: field.height() >= 1.5 * low)
    assert controller.case.tags[1].note == "", "nothing is put in yet"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.toPlainText() == ""
    qtbot.waitUntil(lambda: field.height() == low)
    field.setFocus()
    field.insertPlainText("one\ntwo")
    bench_of(window).picture.setFocus()
    assert controller.case.tags[1].note == "one\ntwo", "left, it is put in"
    field.setPlainText("\n".join("abcdefghij"))
    assert field.fitting_height == pytest.approx(MOST_LINES * field.fontMetrics().lineSpacing(), rel=0.3)


def test_the_line_that_is_typed_stays_in_sight_in_a_low_window(window: Window, qtbot: QtBot) -> None:
    window.resize(1280, 660)
    window.activateWindow()
    field = note(window)
    field.setFocus()
    seen = bench_of(window).record_page.findChildren(FittingScroll)[0].viewport()

    def caret_is_seen() -> bool:
        caret = field.cursorRect()
        top = field.viewport().mapTo(seen, caret.topLeft()).y()
        return top >= 0 and top + caret.height() <= seen.height()

    for text in "abcdefg":
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: field.height() >= field.fitting_height > 60)
    qtbot.waitUntil(caret_is_seen, timeout=5_000)
    for key, times in ((Qt.Key.Key_Up, 7), (Qt.Key.Key_Down, 7)):
        for _ in range(times):
            QTest.keyClick(field, key)
        qtbot.waitUntil(caret_is_seen, timeout=5_000)


def test_a_running_tag_is_ended_by_a_typed_time(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, 3003)
    tag(qtbot, window, "b")
    assert line(window, "End").text() == "running"
    type_into(window, "End", "4")
    assert ranges(window)[-1] == (3003, 4004)


def test_a_moment_moves_by_its_start_and_lasts_by_its_end(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, 3003)
    tag(qtbot, window, "1")
    assert line(window, "End").text() == "a moment"
    type_into(window, "Start", "3.5")
    assert ranges(window)[-1] == (3504, 3504)
    type_into(window, "End", "4")
    assert ranges(window)[-1] == (3504, 4004)


def test_what_several_tags_have_in_common_is_shown_and_what_differs_is_said(window: Window) -> None:
    controller = controller_of(window)
    first, second = controller.case.tags
    controller.do(lambda case: edits.describe(case, [first.id], performer="teacher"))
    controller.select(second.id, [first.id, second.id])
    assert (box(window, "Done by").currentText(), box(window, "Done by").placeholderText()) == ("", "differ")
    assert box(window, "Certainty").currentText() == Certainty.CERTAIN
    assert not note(window).isVisible()
    box(window, "Done by").setCurrentText("trainee")
    box(window, "Done by").activated.emit(2)
    assert {one.performer for one in controller.case.tags} == {"trainee"}


def test_a_tag_that_goes_while_it_is_typed_takes_the_text_with_it(window: Window) -> None:
    field = note(window)
    field.setFocus()
    QTest.keyClicks(field, "gone")
    controller_of(window).remove_selected()
    assert [one.note for one in controller_of(window).case.tags] == [""]


def test_keys_lead_to_the_fields_and_the_panels(window: Window) -> None:
    window.resize(1280, 1000)
    QApplication.processEvents()
    page = bench_of(window).record_page
    window.activateWindow()
    for key, expected in (
        ("Ctrl+1", bench_of(window).sheet.view),
        ("Ctrl+2", bench_of(window).record),
        ("Ctrl+3", page.tag_panel.starts),
        ("Ctrl+4", page.place_panel.chart),
    ):
        QTest.keySequence(window, key)
        assert QApplication.focusWidget() is expected, key


def test_a_case_to_look_at_shows_its_fields_and_changes_nothing(window: Window, opened: Opener) -> None:
    path = controller_of(window).session.path
    window.close_case()
    with Session.open(path):
        opened(path)
        chosen: Tag = controller_of(window).case.tags[0]
        controller_of(window).select(chosen.id)
        assert line(window, "Start").isReadOnly()
        assert line(window, "Start").text() == "00:00:00.000"
        assert not box(window, "Done by").isEnabled()
        window.close_case()


def test_what_a_proposed_tag_was_written_as_is_shown_and_stays_when_it_is_confirmed(window: Window) -> None:
    controller, page = controller_of(window), bench_of(window).record_page
    written = Tag("urn:written", controller.case.tags[0].concept, 3003, 4004, confirmed=False, words="core vit")
    controller.do(lambda case: edits.add(case, [written]))
    controller.select(written.id)
    shown = [one.text() for one in page.tag_panel.findChildren(QLabel) if one.isVisible()]
    assert "Written as “core vit”" in shown
    said = page.record.record.index(2, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    assert "Core vitrectomy (proposed for “core vit”)" in said
    controller.describe_selected(confirmed=True)
    assert controller.case.tag(written.id).words == "core vit"
    assert "proposed" not in page.record.record.index(2, 0).data(Qt.ItemDataRole.AccessibleTextRole)
    controller.select(controller.case.tags[0].id)
    assert not any("Written as" in one.text() for one in page.tag_panel.findChildren(QLabel) if one.isVisible())
