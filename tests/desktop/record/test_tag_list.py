"""The tag list: typed in place, several lines at once, and only what changed is told."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtTest import QAbstractItemModelTester, QSignalSpy, QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QPlainTextEdit
from pytestqt.qtbot import QtBot

from annotator.desktop.record.rows import ROLE
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Tag
from annotator.publish.report.phase_colours import phase_fills
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, controller_of, seek, tag
from tests.desktop.editing.test_tagging import labels
from tests.desktop.workspace.test_menus import menu_at


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy, hyaloid separation and base shaving, a second each, and nothing chosen."""
    opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (2002, "b"), (3003, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    controller_of(window).select(None)
    return window


def choose_rows(window: Window, *rows: int) -> None:
    record = bench_of(window).record
    record.clearSelection()
    for row in rows:
        record.selectionModel().setCurrentIndex(record.record.index(row), QItemSelectionModel.SelectionFlag.Select)


def names(window: Window) -> list[str]:
    return [name for name, _, _ in labels(controller_of(window).case)]


def type_in_place(qtbot: QtBot, window: Window, key: str, text: str) -> None:
    window.activateWindow()  # the list of names was a window too
    qtbot.waitUntil(window.isActiveWindow)
    QTest.keySequence(window, key)
    field = bench_of(window).record.lines.editor
    assert isinstance(field, QLineEdit | QPlainTextEdit)
    qtbot.waitUntil(field.hasFocus)
    QTest.keyClicks(field, text)
    # Where names are offered, the keys go to their list first, which hands Return on to the field.
    QTest.keyClick(QApplication.activePopupWidget() or field, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: bench_of(window).record.lines.editor is None)


def editor(window: Window) -> QLineEdit:
    """The field that is open in the record."""
    field = bench_of(window).record.lines.editor
    assert isinstance(field, QLineEdit)
    return field


def test_a_note_is_typed_where_it_stands(window: Window, qtbot: QtBot) -> None:
    choose_rows(window, 1)
    type_in_place(qtbot, window, "Ctrl+M", "slow, b and c")
    assert [one.note for one in controller_of(window).case.tags] == ["", "slow, b and c", ""]
    assert len(controller_of(window).case.tags) == 3
    tag(qtbot, window, "Ctrl+Z")
    assert [one.note for one in controller_of(window).case.tags] == ["", "", ""]


def test_a_step_is_typed_by_name(window: Window, qtbot: QtBot) -> None:
    choose_rows(window, 1)
    type_in_place(qtbot, window, "F2", "Peripheral vitrectomy")
    assert names(window)[1] == "peripheral-vitrectomy"
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    QTest.keySequence(window, "F2")
    QTest.keyClicks(editor(window), "perifferal vitrectomy")
    QTest.keyClick(editor(window), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Peripheral vitrectomy" in window.status.said)
    assert names(window)[1] == "peripheral-vitrectomy"
    assert editor(window).text() == "perifferal vitrectomy", "what was refused stays to be mended"


def test_times_are_typed_where_they_stand_and_land_on_frames(window: Window, qtbot: QtBot) -> None:
    """30000/1001 frames a second: frame 33 is at ceil(1101.1) ms, frame 42 at ceil(1401.4)."""
    choose_rows(window, 1)
    type_in_place(qtbot, window, "F3", "1.1")
    type_in_place(qtbot, window, "F4", "0:01.4")
    assert [(one.start, one.end) for one in controller_of(window).case.tags] == [(0, 1102), (1102, 1402), (1402, 3003)]
    qtbot.waitUntil(lambda: clock_ms(window) == 1402)  # the picture is that of the new edge


def test_what_is_no_time_stays_to_be_mended(window: Window, qtbot: QtBot) -> None:
    choose_rows(window, 1)
    window.activateWindow()
    QTest.keySequence(window, "F3")
    QTest.keyClicks(editor(window), "soon")
    QTest.keyClick(editor(window), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "“soon” is not a time" in window.status.said)
    assert "H:MM:SS.mmm" in window.status.said
    assert editor(window).text() == "soon"
    QTest.keyClick(editor(window), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not bench_of(window).record.viewport().findChildren(QLineEdit))
    assert controller_of(window).case.tags[1].start == 1001
    QTest.keySequence(window, "F3")
    assert editor(window).text() == "00:00:01.001"


def test_tab_goes_through_the_parts_of_a_line(window: Window) -> None:
    choose_rows(window, 1)
    window.activateWindow()
    QTest.keySequence(window, "F3")
    seen = []
    for _ in range(5):
        open_now = QApplication.focusWidget()
        assert open_now is not None
        seen.append(open_now.accessibleName())
        QTest.keyClick(open_now, Qt.Key.Key_Tab)
    assert seen == ["Start of this line", "Step of this line", "Note of this line", "Done by", "End of this line"]


def test_who_did_it_is_chosen_for_all_chosen_lines(window: Window, qtbot: QtBot) -> None:
    choose_rows(window, 0, 2)
    window.activateWindow()
    QTest.keySequence(window, "Ctrl+D")
    box = bench_of(window).record.viewport().findChild(QComboBox)
    assert isinstance(box, QComboBox)
    box.setCurrentText("trainee under guidance")
    with qtbot.waitSignal(controller_of(window).changed):
        box.activated.emit(box.currentIndex())
    assert [one.performer for one in controller_of(window).case.tags] == [
        "trainee under guidance",
        None,
        "trainee under guidance",
    ]
    assert "by trainee under guidance" in bench_of(window).record.record.index(0).data(
        Qt.ItemDataRole.AccessibleTextRole
    )


def test_several_lines_get_another_step_in_one_change(window: Window, qtbot: QtBot) -> None:
    choose_rows(window, 0, 2)
    type_in_place(qtbot, window, "F2", "Air")
    assert names(window) == ["air", "posterior-hyaloid-separation", "air"]
    controller_of(window).undo()
    assert names(window) == ["core-vitrectomy", "posterior-hyaloid-separation", "base-shaving"]


def test_a_right_click_offers_what_can_be_done_with_a_line(window: Window, qtbot: QtBot) -> None:
    record = bench_of(window).record
    middle = record.visualRect(record.record.index(1)).center()
    QTest.mouseClick(record.viewport(), Qt.MouseButton.RightButton, pos=middle)
    selected = controller_of(window).selected
    assert selected is not None
    assert selected.start == 1001
    offered = menu_at(record.viewport(), middle)
    with qtbot.waitSignal(controller_of(window).changed):
        offered["Delete selected tags"].trigger()
    assert [one.start for one in controller_of(window).case.tags] == [0, 2002]
    tag(qtbot, window, "Ctrl+Z")  # keys of actions that are in two places still do one thing
    assert len(controller_of(window).case.tags) == 3


def test_tips_take_no_html_from_a_note(window: Window) -> None:
    controller = controller_of(window)
    controller.do(lambda case: edits.describe(case, [case.tags[0].id], note="<img src=x> & more"))
    tip = bench_of(window).record.record.index(0).data(Qt.ItemDataRole.ToolTipRole)
    assert tip == "<qt>Core vitrectomy<br>&lt;img src=x&gt; &amp; more</qt>"


def test_the_steps_that_are_offered_are_of_the_same_facet(window: Window) -> None:
    model = bench_of(window).record.record
    offered = model.names_for(model.index(0))
    assert {"Core vitrectomy", "Base shaving"} <= set(offered)
    assert "Bleeding" not in offered


def test_several_lines_are_changed_in_one_change(window: Window, qtbot: QtBot) -> None:
    controller = controller_of(window)
    choose_rows(window, 0, 2)
    assert [one.start for one in controller.all_selected] == [0, 2002]
    boxes = bench_of(window).record_page.tag_panel.findChildren(QComboBox)
    by = next(one for one in boxes if one.accessibleName() == "Done by")
    by.setCurrentText("trainee")
    by.activated.emit(by.currentIndex())
    assert [one.performer for one in controller.case.tags] == ["trainee", None, "trainee"]
    assert [one.start for one in controller.all_selected] == [0, 2002]
    tag(qtbot, window, "Ctrl+Z")
    assert {one.performer for one in controller.case.tags} == {None}
    tag(qtbot, window, "Delete")
    assert [one.start for one in controller.case.tags] == [1001]
    assert window.status.said == "2 tags removed"
    tag(qtbot, window, "Ctrl+Z")
    assert len(controller.case.tags) == 3


def test_several_proposals_are_confirmed_in_one_change(window: Window, qtbot: QtBot) -> None:
    controller = controller_of(window)
    controller.do(lambda case: edits.describe(case, [one.id for one in case.tags], confirmed=False))
    choose_rows(window, 0, 1)
    tag(qtbot, window, "Ctrl+Return")
    assert [one.confirmed for one in controller.case.tags] == [True, True, False]


def test_one_change_tells_one_line(window: Window) -> None:
    controller, model = controller_of(window), bench_of(window).record.record
    told, reset = QSignalSpy(model.dataChanged), QSignalSpy(model.modelReset)
    middle = controller.case.tags[1]
    controller.do(lambda case: edits.describe(case, [middle.id], note="x"))
    assert [told.at(number)[0].row() for number in range(told.count())] == [1]
    gone, come = QSignalSpy(model.rowsRemoved), QSignalSpy(model.rowsInserted)
    controller.do(lambda case: edits.remove(case, [middle.id]))
    controller.undo()
    assert (gone.at(0)[1:], come.at(0)[1:], reset.count()) == ([1, 1], [1, 1], 0)


def test_a_step_of_any_phase_has_the_colour_of_the_one_in_which_it_lies(window: Window) -> None:
    controller, model = controller_of(window), bench_of(window).record.record
    vocabulary, middle = controller.case.vocabulary, controller.case.tags[1]
    fills = phase_fills(vocabulary)

    controller.do(lambda case: edits.retag(case, middle.id, vocabulary.by_notation["haemostasis"].iri))
    assert model.index(1).data(ROLE).colour == fills[controller.case.tags[0].concept]
    told = QSignalSpy(model.dataChanged)
    closure = Tag("urn:closure", vocabulary.by_notation["closure"].iri, middle.start, middle.end)
    controller.do(lambda case: edits.add(case, [closure]))
    haemostasis = model.row_of(middle.id)
    assert haemostasis is not None
    assert model.index(haemostasis).data(ROLE).colour == fills[closure.concept]
    assert haemostasis in [told.at(number)[0].row() for number in range(told.count())]


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(work=st.lists(st.tuples(st.sampled_from("ch1b"), st.integers(0, 4_900), st.booleans()), max_size=8))
def test_the_lines_stay_those_of_the_case(work: list[tuple[str, int, bool]], window: Window) -> None:
    """Whatever is tagged, taken out and undone, the model follows Qt's rules and holds the case's tags in order."""
    controller, model = controller_of(window), bench_of(window).record.record
    rules = QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal)
    by_key = {concept.key: concept.iri for concept in controller.case.vocabulary.concepts}
    assert rules.model() is model
    for key, at, undone in work:
        new = edits.new_id()
        concept = by_key[key]
        moment = at if key == "1" else at + 50
        controller.do(lambda case, new=new, concept=concept, at=at, end=moment: edits.add(
            case, [Tag(new, concept, at, end)]
        ))  # fmt: skip
        if undone:
            controller.undo()
        shown = [model.tag_at(row) for row in range(model.rowCount())]
        assert sorted(shown, key=id) == sorted(controller.case.tags, key=id)
        assert [one.start for one in shown] == sorted(one.start for one in shown)
        assert all(model.row_of(one.id) == row for row, one in enumerate(shown))


def test_a_case_to_look_at_is_not_typed_in(recording: Path, window: Window, opened: Opener) -> None:
    path = controller_of(window).session.path
    window.close_case()
    with Session.open(path):
        opened(path)
        model = bench_of(window).record.record
        assert not model.flags(model.index(0)) & Qt.ItemFlag.ItemIsEditable
        window.close_case()
