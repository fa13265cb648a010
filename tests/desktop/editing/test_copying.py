"""Tags on the clipboard, all of them selected, and the way from one tag of a step to the next."""

from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.form_text import FormText
from annotator.desktop.window import Window
from annotator.formats.tables import tags_csv
from annotator.model import edits
from annotator.workflow.tag_rows import rows_of
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, seek, tag


@pytest.fixture
def tagged(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, hyaloid separation, core vitrectomy, a second each."""
    window = opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (2002, "c"), (3003, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    window.activateWindow()
    return window


def test_selected_tags_are_copied_as_text_and_as_csv(tagged: Window) -> None:
    controller = controller_of(tagged)
    first, second, third = controller.case.tags
    controller.do(lambda case: edits.describe(case, [first.id], note='=SUM(A1)\nsays "more"'))
    controller.select(third.id, [third.id, first.id])
    QTest.keySequence(tagged, "Ctrl+C")
    copied = QGuiApplication.clipboard().mimeData()
    table = bytes(copied.data("text/csv").data()).decode()
    of_case = rows_of(controller.case)
    assert table == tags_csv.dumps([of_case[0], of_case[2]]), "in order of time, as the table of the whole case"
    assert "'=SUM(A1)" in table, "no spreadsheet runs it"
    assert [row.note for row in tags_csv.loads(copied.text())] == ['=SUM(A1)\nsays "more"', ""]
    assert copied.text().startswith("start\tend\tstep\t")
    assert tagged.status.said == "2 tags copied"
    controller.select(second.id)
    QTest.keySequence(tagged, "Ctrl+C")
    assert len(tags_csv.loads(QGuiApplication.clipboard().text())) == 1


def test_all_tags_are_selected_and_removed_in_one_change(tagged: Window, qtbot: QtBot) -> None:
    controller = controller_of(tagged)
    for key in ("Ctrl+A", "Delete"):
        QTest.keySequence(tagged, key)
    assert controller.case.tags == ()
    tag(qtbot, tagged, "Ctrl+Z")
    assert len(controller.case.tags) == 3


def test_in_a_field_these_keys_are_for_its_text(tagged: Window, qtbot: QtBot) -> None:
    controller_of(tagged).select(controller_of(tagged).case.tags[1].id)
    note = next(iter(bench_of(tagged).record_page.tag_panel.findChildren(FormText)))
    note.setFocus()
    qtbot.waitUntil(note.hasFocus)
    QTest.keyClicks(note, "a note")
    for key in ("Ctrl+A", "Ctrl+C"):
        QTest.keySequence(note, key)
    assert QGuiApplication.clipboard().text() == "a note"
    assert len(controller_of(tagged).all_selected) == 1


def test_from_one_tag_of_a_step_to_the_next_and_round(tagged: Window, qtbot: QtBot) -> None:
    controller = controller_of(tagged)
    first, second, third = controller.case.tags
    controller.go_to_tag(first.id)
    for key, expected in (("Ctrl+G", third), ("Ctrl+G", first), ("Ctrl+Shift+G", third)):
        move(qtbot, tagged, key)
        assert (controller.selected, controller.at) == (expected, expected.start)
    assert tagged.status.said == "Core vitrectomy, 2 of 2"
    controller.select(second.id)
    QTest.keySequence(tagged, "Ctrl+G")
    assert controller.selected == second
    assert tagged.status.said == "There is no other Posterior hyaloid separation"
