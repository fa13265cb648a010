"""The tag list shows what the words fit, and goes on to do so while tags come, change and go."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.model import edits
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag


@pytest.fixture
def tagged(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, hyaloid separation, core vitrectomy, a second each, and a bleeding in the second."""
    window = opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (1502, "1"), (2002, "c"), (3003, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    window.activateWindow()
    return window


def shown(window: Window) -> list[str]:
    model = bench_of(window).record.record
    return [model.index(row).data() for row in range(model.rowCount())]


def counted(window: Window) -> list[str]:
    labels = bench_of(window).record_page.findChildren(QLabel)
    return [one.text() for one in labels if one.isVisible() and " of " in one.text()]


def type_filter(window: Window, words: str) -> None:
    QTest.keySequence(window, "Ctrl+Shift+F")
    QTest.keyClicks(bench_of(window).record_page.filter, words)


def test_words_of_step_category_note_and_performer_narrow_it(tagged: Window) -> None:
    controller, field = controller_of(tagged), bench_of(tagged).record_page.filter
    first, *_ = controller.case.tags
    controller.do(lambda case: edits.describe(case, [first.id], note="Slow here.\nThen quick", performer="teacher"))
    for words, expected in (
        ("VITREC", ["Core vitrectomy", "Core vitrectomy"]),
        ("event", ["Bleeding"]),
        ("quick", ["Core vitrectomy"]),
        ("teacher core", ["Core vitrectomy"]),
        ("teacher hyaloid", []),
    ):
        type_filter(tagged, words)
        assert shown(tagged) == expected, words
        assert counted(tagged) == [f"{len(expected)} of 4"]
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert len(shown(tagged)) == 4
    assert counted(tagged) == []
    assert not field.hasFocus()


def test_words_that_no_tag_has_are_told_as_such(tagged: Window) -> None:
    hint = bench_of(tagged).record_page.empty_hint
    type_filter(tagged, "retinal graft")
    assert hint.isVisible()
    assert hint.text().startswith("No tag matches “retinal graft”")
    controller = controller_of(tagged)
    controller.do(lambda case: edits.remove(case, [tag.id for tag in case.tags]))
    assert hint.text().startswith("Nothing is tagged yet")
    controller.undo()
    assert hint.text().startswith("No tag matches")
    QTest.keySequence(tagged, "Escape")
    assert not hint.isVisible()


def test_it_stays_true_while_tags_come_change_and_go(tagged: Window, qtbot: QtBot) -> None:
    controller = controller_of(tagged)
    type_filter(tagged, "core")
    bench_of(tagged).picture.setFocus()
    seek(qtbot, tagged, 4004)
    tag(qtbot, tagged, "b")
    assert shown(tagged) == ["Core vitrectomy"] * 2
    concept = controller.case.tags[0].concept
    controller.do(lambda case: edits.retag(case, case.tags[-1].id, concept))
    assert shown(tagged) == ["Core vitrectomy"] * 3
    controller.do(lambda case: edits.remove(case, [case.tags[0].id]))
    assert counted(tagged) == ["2 of 4"]
    controller.undo()
    controller.undo()
    assert shown(tagged) == ["Core vitrectomy"] * 2
    type_filter(tagged, "")
    bench_of(tagged).record_page.filter.clear()
    assert len(shown(tagged)) == 5


def test_all_that_is_shown_is_selected_and_no_other(tagged: Window) -> None:
    type_filter(tagged, "core")
    bench_of(tagged).record.setFocus()
    QTest.keySequence(tagged, "Ctrl+A")
    controller = controller_of(tagged)
    assert [tag.start for tag in controller.all_selected] == [0, 2002]


def test_what_is_selected_elsewhere_marks_no_other_line(tagged: Window) -> None:
    controller, record = controller_of(tagged), bench_of(tagged).record
    type_filter(tagged, "core")
    controller.select(controller.case.tags[1].id)
    assert record.selectedIndexes() == []
    assert controller.selected == controller.case.tags[1]
    QTest.keySequence(tagged, "Ctrl+M")
    assert record.lines.editor is None, "a line that is not shown is not typed in"
