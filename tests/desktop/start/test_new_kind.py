"""The kind of operation of the next new case, said on the start screen."""

from pathlib import Path

from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of


def test_a_new_case_gets_the_kind_that_was_selected_and_the_next_begins_with_none(
    opened: Opener, recording: Path, window: Window, qtbot: QtBot
) -> None:
    kinds = window.start.kind
    qtbot.waitUntil(lambda: kinds.count() > 1)
    kinds.setCurrentIndex(kinds.findData("buckle"))
    window.start.vocabulary.refresh()
    kinds.refresh()
    assert kinds.kind == "buckle", "looking again for vocabularies takes nothing back"
    opened(recording)
    assert controller_of(window).case.kind == "buckle"
    assert kinds.kind == ""


def test_the_kinds_are_those_of_the_vocabulary_that_is_selected(window: Window, qtbot: QtBot) -> None:
    box, kinds = window.start.vocabulary, window.start.kind
    qtbot.waitUntil(lambda: kinds.count() > 1)
    kinds.setCurrentIndex(kinds.findData("macular"))
    for name, has_kinds in (("cataract", True), ("general", False)):
        box.setCurrentIndex(box.findData(name))
        box.activated.emit(box.currentIndex())
        assert (kinds.kind, kinds.isEnabled()) == ("", has_kinds)
        assert (kinds.count() > 1) == has_kinds
