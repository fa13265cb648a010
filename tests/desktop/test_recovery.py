"""A disk that is full while tagging: said, nothing changed, and work goes on once there is space; undo over saves."""

import errno
from pathlib import Path

from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of, seek, tag
from tests.store.failing_disk import FailingDisk


def test_a_full_disk_is_said_and_work_goes_on(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    before = controller_of(window).case
    seek(qtbot, window, 1001)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True) as disk:
        QTest.keySequence(window, "h")
    assert disk.has_failed
    assert controller_of(window).case == before
    assert window.status.said.startswith("Nothing was changed")
    tag(qtbot, window, "h")
    assert [one.start for one in controller_of(window).case.tags] == [0, 1001]
    window.close_case()
    opened(recording)
    assert len(controller_of(window).case.tags) == 2


def test_undo_reaches_back_over_saves(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    empty = controller_of(window).case
    for at, key in ((0, "c"), (1001, "h"), (2002, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
        QTest.keySequence(window, "Ctrl+S")
        assert window.status.said == "Saved"
    full = controller_of(window).case
    for _ in range(3):
        tag(qtbot, window, "Ctrl+Z")
    assert controller_of(window).case == empty
    QTest.keySequence(window, "Ctrl+S")
    for _ in range(3):
        tag(qtbot, window, "Ctrl+Y")
    assert controller_of(window).case == full


def test_a_case_opened_again_begins_without_anything_to_undo(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """What can be undone is kept for as long as the case is open; the file and the journal hold what is so now."""
    window = opened(recording)
    tag(qtbot, window, "c")
    assert window.commands.actions["undo"].isEnabled()
    window.close_case()
    opened(recording)
    assert not window.commands.actions["undo"].isEnabled()
    assert len(controller_of(window).case.tags) == 1
