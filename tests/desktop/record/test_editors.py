"""A field of a line belongs to one part of the tags it was opened for, whatever is opened, undone or closed after."""

from collections.abc import Sequence
from itertools import permutations
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.theme.tokens import ROW
from annotator.desktop.window import Window
from annotator.formats.case import casefile
from annotator.model import edits
from annotator.model.case import Tag
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag

EDITORS = {
    "F2": "Step of 2 lines",
    "F3": "Start of this line",
    "F4": "End of this line",
    "Ctrl+M": "Note of 2 lines",
    "Ctrl+D": "Done by, 2 lines",
}
TYPED = {"F2": "Peripheral vitrectomy", "F3": "0.5", "F4": "0.7", "Ctrl+M": "another one"}


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, hyaloid separation and base shaving, a second each; the first two are chosen, with notes."""
    opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (2002, "b"), (3003, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    controller = controller_of(window)
    first, second, _ = ids = [one.id for one in controller.case.tags]
    controller.do(lambda case: edits.describe(case, ids, note="as it was"))
    controller.select(first, [first, second])
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


def fields(window: Window) -> list[QWidget]:
    """What is open in the record."""
    inside = bench_of(window).record.viewport().findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
    return [one for one in inside if isinstance(one, QLineEdit | QPlainTextEdit | QComboBox) and one.isVisible()]


def names_of_fields(window: Window) -> list[str]:
    return [one.accessibleName() for one in fields(window)]


def line(window: Window) -> QLineEdit | QPlainTextEdit:
    (field,) = fields(window)
    assert isinstance(field, QLineEdit | QPlainTextEdit)
    return field


def text(window: Window) -> str:
    field = line(window)
    return field.text() if isinstance(field, QLineEdit) else field.toPlainText()


def press(window: Window, key: Qt.Key) -> None:
    """Where it would go: to the list of names that are offered, else to what has the focus."""
    QTest.keyClick(QApplication.activePopupWidget() or QApplication.focusWidget() or window, key)
    QApplication.processEvents()  # Qt takes Return in a line once the field has had it


def tags(window: Window) -> Sequence[Tag]:
    return controller_of(window).case.tags


def parts(window: Window) -> dict[str, list[object]]:
    """Of all tags, what each of the fields is for."""
    return {
        "F2": [one.concept.rpartition("/")[2] for one in tags(window)],
        "F3": [one.start for one in tags(window)],
        "F4": [one.end for one in tags(window)],
        "Ctrl+M": [one.note for one in tags(window)],
        "Ctrl+D": [one.performer for one in tags(window)],
    }


def test_what_is_opened_second_is_a_field_of_its_own(window: Window) -> None:
    before = tags(window)
    for first, second in permutations(EDITORS, 2):
        QTest.keySequence(window, first)
        assert names_of_fields(window) == [EDITORS[first]]
        QTest.keySequence(window, second)
        assert names_of_fields(window) == [EDITORS[second]]
        press(window, Qt.Key.Key_Return)
        assert tags(window) == before, f"nothing was typed after {first}, {second}, so nothing is changed"
        assert not fields(window)


def test_what_was_typed_goes_where_it_belongs_when_another_field_is_opened(window: Window, qtbot: QtBot) -> None:
    before = parts(window)
    for first, second in permutations(EDITORS, 2):
        if first not in TYPED:
            continue
        window.activateWindow()  # the list of names that was offered is a window too
        qtbot.waitUntil(window.isActiveWindow)
        QTest.keySequence(window, first)
        QTest.keyClicks(line(window), TYPED[first])
        QTest.keySequence(window, second)
        assert names_of_fields(window) == [EDITORS[second]]
        press(window, Qt.Key.Key_Escape)
        changed = {key for key, were in before.items() if parts(window)[key] != were}
        # An edge takes with it that of the tag that it touches, here the start of the second one.
        assert changed == ({"F3", "F4"} if first == "F4" else {first}), f"{first}, {second}"
        controller_of(window).undo()
        assert parts(window) == before


def test_what_is_refused_stays_to_be_mended_before_another_field_is_opened(window: Window) -> None:
    before = tags(window)
    QTest.keySequence(window, "F3")
    QTest.keyClicks(line(window), "soon")
    QTest.keySequence(window, "Ctrl+M")
    assert (names_of_fields(window), text(window)) == (["Start of this line"], "soon")
    assert "“soon” is not a time" in window.status.said
    press(window, Qt.Key.Key_Escape)
    QTest.keySequence(window, "Ctrl+M")
    assert (text(window), tags(window)) == ("as it was", before)


def test_a_field_keeps_to_its_tags_whatever_is_chosen_meanwhile(window: Window) -> None:
    third = tags(window)[2].id
    QTest.keySequence(window, "Ctrl+M")
    QTest.keyClicks(line(window), "of the first two")
    controller_of(window).select(third)
    press(window, Qt.Key.Key_Return)
    assert [one.note for one in tags(window)] == ["of the first two", "of the first two", "as it was"]


def test_a_note_of_several_lines_is_typed_in_its_line_and_none_of_them_is_lost(window: Window) -> None:
    controller_of(window).select(tags(window)[0].id)
    QTest.keySequence(window, "Ctrl+M")
    QTest.keyClicks(line(window), "calm")
    QTest.keyClick(line(window), Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClicks(line(window), "then less so")
    assert line(window).height() > 1.5 * ROW
    assert bench_of(window).record.viewport().rect().contains(line(window).geometry())
    press(window, Qt.Key.Key_Return)
    assert [one.note for one in tags(window)] == ["calm\nthen less so", "as it was", "as it was"]
    QTest.keySequence(window, "Ctrl+M")
    press(window, Qt.Key.Key_Tab)
    assert names_of_fields(window) == ["Done by"]
    assert tags(window)[0].note == "calm\nthen less so", "opened and left, it is as it was"


def test_who_did_it_is_put_in_for_all_where_the_first_has_it_already(window: Window) -> None:
    first, *_ = tags(window)
    controller_of(window).do(lambda case: edits.describe(case, [first.id], performer="trainee"))
    QTest.keySequence(window, "Ctrl+D")
    (box,) = fields(window)
    assert isinstance(box, QComboBox)
    box.activated.emit(box.currentIndex())
    assert [one.performer for one in tags(window)] == ["trainee", "trainee", None]


def test_what_was_typed_in_a_tag_that_goes_is_said(window: Window) -> None:
    _, second, _ = tags(window)
    controller_of(window).select(second.id)
    QTest.keySequence(window, "Ctrl+M")
    QTest.keyClicks(line(window), "half a note")
    controller_of(window).do(lambda case: edits.remove(case, [second.id]))
    assert not fields(window)
    assert window.status.said == "The tag you were typing “half a note” in is gone"
    controller_of(window).undo()
    assert [one.note for one in tags(window)] == ["as it was"] * 3


def test_what_is_typed_stays_while_its_line_moves(window: Window) -> None:
    _, second, _ = tags(window)
    controller_of(window).do(lambda case: edits.move(case, second.id, 3_203, 3_503))
    controller_of(window).select(second.id)
    QTest.keySequence(window, "Ctrl+M")
    QTest.keyClicks(line(window), "half a note")
    controller_of(window).undo()
    assert text(window) == "half a note"
    press(window, Qt.Key.Key_Return)
    assert [one.note for one in tags(window)] == ["as it was", "half a note", "as it was"]


def test_a_line_that_changes_beside_its_field_is_not_put_back(window: Window) -> None:
    """A step's end was opened and nothing typed; an edge that was moved meanwhile stays where it was put."""
    first, *_ = tags(window)
    QTest.keySequence(window, "F4")
    controller_of(window).do(lambda case: edits.move_boundary(case, first.id, "end", 701))
    assert text(window) == "00:00:00.701"
    press(window, Qt.Key.Key_Return)
    assert tags(window)[0].end == 701


@pytest.mark.parametrize("leave", ["Ctrl+W", "Ctrl+Q"])
def test_what_is_typed_is_kept_when_the_case_is_closed(leave: str, window: Window, opened: Opener) -> None:
    path = controller_of(window).session.path
    QTest.keySequence(window, "Ctrl+M")
    QTest.keyClicks(line(window), "just before closing")
    QTest.keySequence(window, leave)
    assert window.bench is None
    kept, _ = casefile.loads(path.read_bytes())
    assert [one.note for one in kept.tags] == ["just before closing", "just before closing", "as it was"]
