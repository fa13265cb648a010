"""The form of the facts: each field is one change, and words that look like an identity are asked about."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QScrollArea
from pytestqt.qtbot import QtBot

from annotator.desktop.facts.panel import FactsPanel
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.window import Window
from annotator.model.edits import set_fact
from annotator.model.facts import Fact
from annotator.store.facts import find_facts
from tests.desktop.conftest import Opener
from tests.desktop.driving import answer, bench_of, controller_of, question, words_of


def select(panel: FactsPanel, code: str, value: str) -> None:
    box = panel.boxes[code]
    box.setCurrentIndex(box.findData(value))
    box.activated.emit(box.currentIndex())


def type_in(panel: FactsPanel, code: str, words: str) -> None:
    line = panel.lines[code]
    line.setFocus()
    line.selectAll()
    QTest.keyClick(line, Qt.Key.Key_Delete)
    QTest.keyClicks(line, words)
    QTest.keyClick(line, Qt.Key.Key_Return)


def shown(window: Window) -> FactsPanel:
    window.commands.actions["show_facts"].trigger()
    panel = bench_of(window).facts
    assert panel.isVisible()
    return panel


def test_facts_are_said_undone_and_warned_of(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    panel, controller = shown(window), controller_of(window)
    assert panel.lines["case-number"].hasFocus()
    select(panel, "finding", "macular-hole")
    type_in(panel, "month", "2026-11")
    assert controller.case.facts == (Fact("finding", "macular-hole"), Fact("month", "2026-11"))
    assert not panel.cautions.isVisible()
    select(panel, "eye", "left")
    assert controller.case.eye == "left"
    assert "Finding, Month and Eye together may tell whose operation it was" in panel.cautions.text()
    type_in(panel, "month", "2026-11-05")
    assert "a day may tell whose operation it was" in panel.fault.text()
    assert controller.case.fact("month") == "2026-11"
    type_in(panel, "month", "")
    assert (controller.case.fact("month"), panel.fault.isVisible()) == ("", False)
    controller.undo()
    assert panel.lines["month"].text() == "2026-11"
    select(panel, "finding", "")
    assert controller.case.fact("finding") == ""


def test_closing_the_form_gives_the_keys_back_to_the_picture(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    panel = shown(window)
    panel.closed.emit()
    assert not panel.isVisible()
    assert bench_of(window).picture.hasFocus()


def test_the_form_has_the_whole_panel_while_nothing_is_warned_of(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.resize(960, 540)
    panel = shown(window)
    (form,) = panel.findChildren(QScrollArea)
    qtbot.waitUntil(lambda: panel.height() - form.geometry().bottom() <= 6 * UNIT)


def test_words_that_look_like_an_identity_are_asked_about(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    panel, controller = shown(window), controller_of(window)
    type_in(panel, "finding-in-words", "Mrs Example")
    assert "“Mrs Example” looks like a name behind a title. Keep it?" in words_of(question(qtbot, window))
    answer(qtbot, window, "Leave out")
    assert (controller.case.facts, panel.lines["finding-in-words"].text()) == ((), "")
    type_in(panel, "finding-in-words", "Dr Example sign")
    answer(qtbot, window, "Keep, it names nobody")
    assert controller.case.fact("finding-in-words") == "Dr Example sign"


def test_what_no_list_knows_is_shown_as_it_stands(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    panel, controller = shown(window), controller_of(window)
    for fact in (Fact("our-score", "B"), Fact("gauge", "19-gauge")):
        controller.do(lambda case, fact=fact: set_fact(case, find_facts(), fact))
    assert panel.others.text() == "our-score: B"
    assert panel.boxes["gauge"].currentText() == "19-gauge"
    select(panel, "gauge", "25-gauge")
    assert panel.boxes["gauge"].findData("19-gauge") < 0


def test_publishing_says_that_the_consent_is_withdrawn(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    panel, publish = shown(window), bench_of(window).publish
    bench_of(window).panels.show_publish()
    assert not publish.on_consent.isVisible()
    select(panel, "consent", "consent-withdrawn")
    assert publish.on_consent.isVisible()
    assert "is withdrawn: pass nothing on" in publish.on_consent.text()
