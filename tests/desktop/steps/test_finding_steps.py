"""Finding a step by a few letters, and what a click in the step sheet does."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.steps.sheet_delegate import button_in
from annotator.desktop.steps.sheet_model import SheetModel
from annotator.desktop.steps.sheet_rows import SheetRow
from annotator.desktop.steps.step_sheet import StepSheet
from annotator.desktop.widgets.row_model import ROLE
from annotator.desktop.window import Window
from annotator.model.edits import set_kind
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag
from tests.desktop.editing.test_tagging import labels

# Two letters of each, as a surgeon would type them; common practice, no source.
MEANT = [
    ("de", "delamination"),
    ("la", "laser-probe"),
    ("se", "segmentation"),
    ("air", "air"),
    ("ga", "gas"),
    ("fluid air", "fluid-air-exchange"),
    ("ILM", "inner-limiting-membrane-peeling"),
    ("oil", "silicone-oil-fill"),
    ("ports", "port-placement"),
    ("around", "endolaser-around-breaks"),
    ("core", "core-vitrectomy"),
]


@pytest.fixture
def sheet(opened: Opener, recording: Path, qtbot: QtBot) -> StepSheet:
    window = opened(recording)
    QTest.keySequence(window, "Ctrl+F")
    found = bench_of(window).sheet
    qtbot.waitUntil(found.field.hasFocus)
    return found


def row_at(model: SheetModel, number: int) -> SheetRow:
    row = model.index(number).data(ROLE)
    assert isinstance(row, SheetRow)
    return row


def marked(sheet: StepSheet) -> str:
    """The name in the row that Enter takes; empty for none."""
    return "" if sheet.model.marked is None else row_at(sheet.model, sheet.model.marked).text


def spot(sheet: StepSheet, window: Window, name: str, *, on_button: bool) -> QPoint:
    """Where in the list a step's name or its button is, scrolled into sight."""
    concept = controller_of(window).case.vocabulary.match(name).iri
    sheet.reveal(concept)
    number = sheet.model.row_of(concept)
    assert number is not None
    area = sheet.view.visualRect(sheet.model.index(number))
    return button_in(area, row_at(sheet.model, number)).center() if on_button else area.center()


def is_in_sight(sheet: StepSheet, name: str) -> bool:
    area = sheet.view.visualRect(sheet.model.index(rows_shown(sheet).index(name)))
    return sheet.view.viewport().rect().contains(area)


def click(sheet: StepSheet, place: QPoint) -> None:
    QTest.mouseClick(sheet.view.viewport(), Qt.MouseButton.LeftButton, pos=place)


@pytest.mark.parametrize(("typed", "meant"), MEANT)
def test_two_letters_and_enter_tag_what_is_marked(
    typed: str, meant: str, sheet: StepSheet, window: Window, qtbot: QtBot
) -> None:
    QTest.keyClicks(sheet.field, typed)
    label = controller_of(window).case.vocabulary.match(meant).label()
    assert marked(sheet) == label
    assert label in sheet.field.accessibleDescription()
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == [meant]
    assert marked(sheet) == ""


def test_the_mark_is_moved_by_keys_and_enter_takes_it(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    QTest.keyClicks(sheet.field, "staining")
    found = [row_at(sheet.model, number).text for number in range(sheet.model.rowCount())]
    assert found == ["Vitreous staining", "Membrane staining", "Inner limiting membrane staining"]
    for key, expected in ((Qt.Key.Key_Down, 1), (Qt.Key.Key_Down, 2), (Qt.Key.Key_Down, 2), (Qt.Key.Key_Up, 1)):
        QTest.keyClick(sheet.field, key)
        assert marked(sheet) == found[expected]
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == ["membrane-staining"]


def test_what_answers_to_nothing_is_said_and_what_can_be_no_name_adds_nothing(sheet: StepSheet, window: Window) -> None:
    QTest.keyClicks(sheet.field, "<b>qq")
    assert sheet.says.text() == "No step matches “<b>qq”."
    assert sheet.says.isVisible()
    QTest.keyClick(sheet.field, Qt.Key.Key_Escape)
    assert not sheet.says.isVisible()
    QTest.keyClicks(sheet.field, "<?>")
    assert sheet.model.rowCount() == 0
    QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    assert controller_of(window).case.tags == ()


def test_nothing_is_marked_while_the_keys_are_elsewhere(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    QTest.keyClicks(sheet.field, "core")
    assert marked(sheet) == "Core vitrectomy"
    bench_of(window).picture.setFocus()
    qtbot.waitUntil(lambda: not marked(sheet))
    sheet.field.setFocus()
    qtbot.waitUntil(lambda: marked(sheet) == "Core vitrectomy")


def test_a_step_that_begins_on_the_frame_is_not_replaced_unsaid(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    sheet.field.leave()
    tag(qtbot, window, "s")
    QTest.keySequence(window, "Ctrl+F")
    QTest.keyClicks(sheet.field, "seg")
    assert not sheet.says.isVisible()
    sheet.field.clear()
    QTest.keyClicks(sheet.field, "de")
    assert sheet.says.text() == "Segmentation starts at this frame: Enter changes it to Delamination."
    assert sheet.says.isVisible()
    seek(qtbot, window, 1001)
    assert not sheet.says.isVisible()


@pytest.mark.parametrize("name", ["core vitrectomy", "bimanual"])
def test_what_begins_on_the_frame_is_not_begun_twice(name: str, opened: Opener, recording: Path, qtbot: QtBot) -> None:
    controller = controller_of(opened(recording))
    concept = controller.case.vocabulary.match(name).iri
    controller.tag(concept)
    with qtbot.waitSignal(controller.said) as told:
        controller.tag(concept)
    assert "already starts at this frame" in told.args[0]
    assert len(controller.case.tags) == 1


def test_a_click_on_a_row_looks_and_changes_nothing(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    sheet.field.leave()
    for at in (1001, 3003):
        seek(qtbot, window, at)
        tag(qtbot, window, "d")
        seek(qtbot, window, at + 334)
        tag(qtbot, window, "Escape")
    before = controller_of(window).case
    place = spot(sheet, window, "delamination", on_button=False)
    seek(qtbot, window, 0)
    for at in (1001, 3003, 1001):
        with qtbot.waitSignal(window.player.shown):
            click(sheet, place)
        assert window.player.at == at
        chosen = controller_of(window).selected
        assert chosen is not None
        assert chosen.start == at
    assert controller_of(window).case is before
    assert window.status.said == "Delamination, 1 of 2"


def test_a_click_on_what_is_not_tagged_says_so(sheet: StepSheet, window: Window) -> None:
    QTest.keyClicks(sheet.field, "delam")
    click(sheet, spot(sheet, window, "delamination", on_button=False))
    assert controller_of(window).case.tags == ()
    assert window.status.said == "Delamination is not tagged yet"


@pytest.mark.parametrize("name", ["core vitrectomy", "infusion check"])
def test_the_button_in_a_row_tags(name: str, sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    controller_of(window).do(lambda case: set_kind(case, "macular"))
    sheet.field.leave()
    with qtbot.waitSignal(controller_of(window).changed):
        click(sheet, spot(sheet, window, name, on_button=True))
    assert [one.concept for one in controller_of(window).case.tags] == [
        controller_of(window).case.vocabulary.match(name).iri
    ]


def test_a_press_that_leaves_the_button_does_nothing(sheet: StepSheet, window: Window) -> None:
    sheet.field.leave()
    button, elsewhere = (spot(sheet, window, "core vitrectomy", on_button=on) for on in (True, False))
    area = sheet.view.viewport()
    QTest.mousePress(area, Qt.MouseButton.LeftButton, pos=button)
    QTest.mouseRelease(area, Qt.MouseButton.LeftButton, pos=elsewhere)
    assert controller_of(window).case.tags == ()
    assert controller_of(window).selected is None


def test_a_double_click_looks_too_also_with_the_keys_in_the_list(sheet: StepSheet, window: Window) -> None:
    QTest.keySequence(window, "Ctrl+1")
    place = spot(sheet, window, "core vitrectomy", on_button=False)
    QTest.mouseDClick(sheet.view.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert controller_of(window).case.tags == ()


def test_return_on_a_row_tags_once(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    QTest.keySequence(window, "Ctrl+1")
    place = spot(sheet, window, "core vitrectomy", on_button=False)
    sheet.view.setCurrentIndex(sheet.view.indexAt(place))
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(sheet.view, Qt.Key.Key_Return)
    assert labels(controller_of(window).case) == [("core-vitrectomy", 0, None)]


def test_where_the_case_can_not_be_changed_the_button_changes_nothing(
    recording: Path, opened: Opener, window: Window
) -> None:
    opened(recording)
    path = controller_of(window).session.path
    window.close_case()
    with Session.open(path):
        opened(path)
        sheet = bench_of(window).sheet
        click(sheet, spot(sheet, window, "core vitrectomy", on_button=True))
        assert controller_of(window).case.tags == ()
        QTest.keyClicks(sheet.field, "macular rotation")
        assert sheet.model.rowCount() == 0, "nothing can be added either"
        window.close_case()


# --- what the vocabulary lacks -----------------------------------------------------------------------------------


def rows_shown(sheet: StepSheet) -> list[str]:
    return [row_at(sheet.model, number).text for number in range(sheet.model.rowCount())]


def test_what_is_similar_is_offered_where_nothing_fits(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    QTest.keyClicks(sheet.field, "delaminatoin")
    assert rows_shown(sheet)[0] == marked(sheet) == "Delamination"
    assert sheet.says.text() == "Nothing is called “delaminatoin”; this is similar."
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == ["delamination"]


def test_a_missing_step_is_added_under_the_phase_of_the_shown_frame_and_begins_at_once(
    sheet: StepSheet, window: Window, qtbot: QtBot
) -> None:
    sheet.field.leave()
    tag(qtbot, window, "s")
    seek(qtbot, window, 1001)
    QTest.keySequence(window, "Ctrl+F")
    QTest.keyClicks(sheet.field, "macular rotation")
    assert rows_shown(sheet) == [
        "Add “macular rotation” under Membrane work",
        "Add “macular rotation” under another…",
    ]
    assert sheet.field.accessibleDescription() == "Enter: Add “macular rotation” under Membrane work"
    bench = bench_of(window)
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    assert labels(controller_of(window).case)[1:] == [("macular-rotation", 1001, None)]
    assert bench_of(window) is bench, "the window is not made anew"
    assert not sheet.field.hasFocus()
    assert is_in_sight(sheet, "Macular rotation")
    assert window.commands.vocabulary is controller_of(window).case.vocabulary
    QTest.keySequence(window, "Ctrl+Z")
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == ["segmentation"]
    assert "Macular rotation" not in rows_shown(sheet)
    assert not controller_of(window).case.vocabulary.knows("macular rotation")
    QTest.keySequence(window, "Ctrl+Shift+Z")
    assert "Macular rotation" in rows_shown(sheet)
    assert bench_of(window) is bench


def test_under_what_a_missing_step_stands_is_asked_for(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    QTest.keyClicks(sheet.field, "oozing")
    assert rows_shown(sheet) == ["Add “oozing” under…"]
    QTest.keyClick(sheet.field, Qt.Key.Key_Return)
    palette = window.command_palette
    qtbot.waitUntil(palette.field.hasFocus)
    QTest.keyClicks(palette.field, "event")
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(palette.field, Qt.Key.Key_Return)
    assert labels(controller_of(window).case) == [("oozing", 0, 0)]


def test_a_click_on_the_offer_adds_and_marks_it(sheet: StepSheet, window: Window, qtbot: QtBot) -> None:
    sheet.field.leave()
    tag(qtbot, window, "s")
    seek(qtbot, window, 1001)
    QTest.keySequence(window, "Ctrl+F")
    QTest.keyClicks(sheet.field, "macular rotation")
    with qtbot.waitSignal(controller_of(window).changed):
        click(sheet, sheet.view.visualRect(sheet.model.index(0)).center())
    assert [notation for notation, _, _ in labels(controller_of(window).case)] == ["segmentation", "macular-rotation"]
    assert sheet.field.text() == ""
    assert is_in_sight(sheet, "Macular rotation")
