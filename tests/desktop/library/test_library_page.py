"""The library in the window: a folder is looked into, asked, and each hit leads to its picture."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.library.page import LibraryPage
from annotator.desktop.window import Window
from annotator.model.place import Eye
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag
from tests.library.cases import put, with_note
from tests.measure.cases import tag as made_tag


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two cases with a bleeding in one of them, one that is damaged and nothing else."""
    made = tmp_path / "cases"
    made.mkdir()
    core = made_tag("core", 10_000, 20_000)
    put(made, "a", core, with_note(made_tag("bleeding", 12_000, 14_000), "from the edge"), eye=Eye.RIGHT)
    put(made, "b", core, eye=Eye.LEFT)
    (made / "damaged.case.jsonld").write_text('{"type": "AnnotationCollection", ')
    return made


def shown(qtbot: QtBot, window: Window, folder: Path) -> LibraryPage:
    window.commands.actions["show_library"].trigger()
    with qtbot.waitSignal(window.library.refreshed):
        window.library.open_folder(folder)
    return window.library


def ask(qtbot: QtBot, page: LibraryPage, what: str) -> None:
    page.question.what.setText(what)
    with qtbot.waitSignal(page.refreshed):
        QTest.keyClick(page.question.what, Qt.Key.Key_Return)


def texts(page: LibraryPage) -> list[list[str]]:
    return [[cell.text for cell in line.cells] for line in page.hits.lines()]


def test_a_folder_is_looked_into_and_what_is_damaged_in_it_is_named(window: Window, folder: Path, qtbot: QtBot) -> None:
    page = shown(qtbot, window, folder)
    assert [line.cells[-1].text for line in page.cases.lines()] == ["a.case.jsonld", "b.case.jsonld"]
    assert [line.cells[1].text for line in page.cases.lines()] == ["right", "left"]
    assert page.hits.figures.rowCount() == 0
    assert page.answer.text() == ""
    assert "damaged.case.jsonld" in page.notes.text()


def test_what_is_asked_is_answered_with_the_cases_counted(window: Window, folder: Path, qtbot: QtBot) -> None:
    page = shown(qtbot, window, folder)
    ask(qtbot, page, "bleeding")
    assert [row[2:] for row in texts(page)] == [["0:12", "0:02", "", "from the edge"]]
    assert page.answer.text().splitlines()[0].startswith("Bleeding: in 1 of 2 (all cases)")
    with qtbot.waitSignal(page.refreshed):
        page.question.what.leave()
    assert page.hits.figures.rowCount() == 0
    assert page.answer.text() == ""


def test_where_nothing_is_found_that_is_said_in_its_place(
    window: Window, folder: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    page = shown(qtbot, window, folder)
    assert page.hint.isVisible()
    ask(qtbot, page, "port placement")
    assert page.hint.isVisible()
    assert page.hint.text() == "No tags found"
    ask(qtbot, page, "bleeding")
    assert not page.hint.isVisible()
    empty = tmp_path / "empty"
    empty.mkdir()
    with qtbot.waitSignal(page.refreshed):
        page.open_folder(empty)
    assert page.hint.isVisible()
    assert page.hint.text().startswith("No cases")


def test_what_no_case_knows_is_refused_with_the_nearest_names(window: Window, folder: Path, qtbot: QtBot) -> None:
    page = shown(qtbot, window, folder)
    ask(qtbot, page, "blleding")
    assert "bleeding" in page.fault.text().casefold()
    assert len(page.cases.lines()) == 2


def test_only_the_cases_of_which_a_fact_is_true(window: Window, folder: Path, qtbot: QtBot) -> None:
    page = shown(qtbot, window, folder)
    with qtbot.waitSignal(page.refreshed):
        page.question.cases.setCurrentText("eye: left")
    assert [line.cells[-1].text for line in page.cases.lines()] == ["b.case.jsonld"]


@pytest.mark.parametrize("is_open", [True, False], ids=["the open case", "a closed one"])
def test_a_hit_leads_to_its_picture(
    window: Window, recording: Path, opened: Opener, qtbot: QtBot, *, is_open: bool
) -> None:
    opened(recording)
    seek(qtbot, window, 2_000)
    tag(qtbot, window, "c")
    begun = controller_of(window).case.tags[0].start
    seek(qtbot, window, 0)
    if not is_open:
        window.close_case()
    page = shown(qtbot, window, recording.parent)
    ask(qtbot, page, "core vitrectomy")
    page.hits.selectRow(0)
    page.hits.setFocus()
    QTest.keyClick(page.hits, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.bench is not None and bench_of(window).isVisible() and window.player.at == begun)


def test_escape_leads_back_to_the_case(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> None:
    opened(recording)
    page = shown(qtbot, window, recording.parent)
    assert not bench_of(window).isVisible()
    page.cases.setFocus()
    QTest.keyClick(page.cases, Qt.Key.Key_Escape)
    assert bench_of(window).isVisible()
