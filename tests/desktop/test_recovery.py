"""A disk that is full while tagging: said, nothing changed, and work goes on once there is space; undo over saves."""

import errno
from pathlib import Path

from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag
from tests.desktop.test_states import case_of
from tests.store.failing_disk import FailingDisk


def test_a_full_disk_is_said_until_there_is_space_and_nothing_is_lost(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    before, notices = controller_of(window).case, bench_of(window).notices
    assert not window.commands.actions["try_to_keep"].isEnabled()
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True) as disk:
        for at, key in ((1001, "h"), (2002, "s")):
            seek(qtbot, window, at)
            QTest.keySequence(window, key)
        QTest.keySequence(window, "Ctrl+S")
    assert disk.has_failed
    assert controller_of(window).case == before
    assert len(notices.texts) == 1
    full = "the disk is full; free some space and try again"
    assert notices.texts == [f"The last change is not kept: {full}. All before it is safe."]
    seek(qtbot, window, 3003)
    assert len(notices.texts) == 1
    window.commands.actions["try_to_keep"].trigger()
    assert notices.texts == []
    assert not window.commands.actions["try_to_keep"].isEnabled()
    tags = controller_of(window).case.tags
    assert [(one.start, one.end) for one in tags] == [(0, 1001), (1001, 2002), (2002, None)]
    window.close_case()
    opened(recording)
    assert controller_of(window).case.tags == tags


def test_going_on_by_hand_ends_a_full_disk_too(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """Whoever presses the key again does not get the change twice."""
    window = opened(recording)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "c")
    assert window.status.said.startswith("Nothing was changed")
    assert len(bench_of(window).notices.texts) == 1
    tag(qtbot, window, "c")
    assert bench_of(window).notices.texts == []
    controller_of(window).attempts.try_again()
    assert len(controller_of(window).case.tags) == 1


def test_a_save_that_fails_is_said_until_one_succeeds(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "Ctrl+S")
        QTest.keySequence(window, "Ctrl+S")
    assert "Every change is safe beside it." in bench_of(window).notices.texts[0]
    QTest.keySequence(window, "Ctrl+S")
    assert bench_of(window).notices.texts == []
    assert window.status.said == "Saved"


def test_an_undo_that_the_disk_refused_is_tried_again(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "Ctrl+Z")
    with Session.open(case_of(recording), writable=False) as session:
        assert len(session.case.tags) == 1
    controller_of(window).attempts.try_again()
    assert bench_of(window).notices.texts == []
    assert controller_of(window).case.tags == ()


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
