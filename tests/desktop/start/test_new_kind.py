"""The kind of operation of the next new case, said on the start screen."""

from pathlib import Path

from PySide6.QtWidgets import QComboBox
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of
from tests.desktop.films import film


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


def test_the_kind_is_said_where_recordings_are_put_in_order_and_later_in_their_case(
    recording: Path, window: Window, qtbot: QtBot, tmp_path: Path
) -> None:
    second = film(tmp_path / "second.mp4", 30, "25")
    kinds, page = window.start.kind, window.recordings
    window.open_paths([recording, second])  # at once, as from the command line: the start screen is never seen
    qtbot.waitUntil(lambda: page.isVisible() and page.use.isEnabled(), timeout=20_000)
    assert (page.kind.isVisible(), page.kind.currentData()) == (True, "")
    select(page.kind, "macular")
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        page.use.click()
    assert controller_of(window).case.kind == "macular"
    window.commands.actions["show_recordings"].trigger()
    assert page.kind.currentData() == "macular"
    select(page.kind, "diabetic")
    assert (controller_of(window).case.kind, kinds.kind) == ("diabetic", "")
    page.cancel.click()
    controller_of(window).undo()
    assert controller_of(window).case.kind == "macular"


def select(box: QComboBox, kind: str) -> None:
    """As a person does, in the list of the box."""
    box.setCurrentIndex(box.findData(kind))
    box.activated.emit(box.currentIndex())


def test_the_kinds_are_those_of_the_vocabulary_that_is_selected(window: Window, qtbot: QtBot) -> None:
    box, kinds = window.start.vocabulary, window.start.kind
    qtbot.waitUntil(lambda: kinds.count() > 1)
    kinds.setCurrentIndex(kinds.findData("macular"))
    for name, has_kinds in (("cataract", True), ("general", False)):
        box.setCurrentIndex(box.findData(name))
        box.activated.emit(box.currentIndex())
        assert (kinds.kind, kinds.isEnabled()) == ("", has_kinds)
        assert (kinds.count() > 1) == has_kinds
