"""A disk that is full while tagging: said, nothing changed, and work goes on once there is space; undo over saves."""

import errno
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.errors import StoreError
from annotator.store.known_file import KnownFile
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, save, seek, tag
from tests.desktop.workspace.test_case_notices import case_of
from tests.desktop.workspace.test_relink import buttons
from tests.store.failing_disk import FailingDisk

LOSES_TWO = (
    "The last 2 changes are not saved yet: the disk is full; free some space and try again. "
    "Closing now would lose them."
)


def times_of(window: Window) -> list[tuple[int, int | None]]:
    return [(one.start, one.end) for one in controller_of(window).case.tags]


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
        save(qtbot, window)
    assert disk.has_failed
    assert controller_of(window).case == before
    assert len(notices.texts) == 1
    full = "the disk is full; free some space and try again"
    assert notices.texts == [f"The last 2 changes are not saved yet: {full}. Everything before them is safe."]
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
    assert window.status.said == "Not saved yet; trying again later: the disk is full; free some space and try again"
    assert len(bench_of(window).notices.texts) == 1
    tag(qtbot, window, "c")
    assert bench_of(window).notices.texts == []
    controller_of(window).retry.try_again()
    assert len(controller_of(window).case.tags) == 1


def test_what_waits_is_made_before_the_next_and_at_the_frame_at_which_it_was_asked_for(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    """A start, an end and a technique begun and ended, all while the disk is full; then one more step by hand."""
    window = opened(recording)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        for at, key in ((0, "c"), (968, "Escape")):
            seek(qtbot, window, at)
            QTest.keySequence(window, key)
        technique = controller_of(window).case.vocabulary.in_facet("technique")[0].iri
        for at in (1001, 2002):
            seek(qtbot, window, at)
            controller_of(window).tag(technique)
    assert controller_of(window).case.tags == ()
    assert "The last 4 changes are not saved yet" in bench_of(window).notices.texts[0]
    seek(qtbot, window, 3971)
    QTest.keySequence(window, "h")
    assert bench_of(window).notices.texts == []
    assert times_of(window) == [(0, 968), (1001, 2002), (3971, None)]


def test_an_end_refused_by_the_disk_is_kept_where_it_was_pressed(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    seek(qtbot, window, 968)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "Escape")
    seek(qtbot, window, 3971)
    window.commands.actions["try_to_keep"].trigger()
    assert times_of(window) == [(0, 968)]


def test_a_split_refused_by_the_disk_is_kept_where_it_was_pressed(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    seek(qtbot, window, 968)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        window.commands.actions["split_chosen"].trigger()
    seek(qtbot, window, 3971)
    window.commands.actions["try_to_keep"].trigger()
    assert times_of(window) == [(0, 968), (968, None)]


def test_a_change_asked_for_while_others_wait_is_not_made_before_them(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "c")
        seek(qtbot, window, 968)
        QTest.keySequence(window, "Ctrl+Z")
    assert controller_of(window).retry.waiting == 2
    window.commands.actions["try_to_keep"].trigger()
    assert controller_of(window).case.tags == ()
    assert controller_of(window).session.can_redo, "begun, then undone"


@pytest.mark.parametrize("how", ["close_case", "close", "open another"])
def test_closing_while_changes_wait_asks_and_loses_nothing(
    recording: Path, opened: Opener, qtbot: QtBot, how: str
) -> None:
    another = recording.parent / "another" / "another.mp4"
    another.parent.mkdir()
    another.write_bytes(recording.read_bytes())
    opened(another).close_case()
    window = opened(recording)
    ways: dict[str, Callable[[], object]] = {
        "close_case": window.commands.actions["close_case"].trigger,
        "close": window.close,
        "open another": partial(window.open_paths, [case_of(another)]),
    }
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "c")
        seek(qtbot, window, 1001)
        QTest.keySequence(window, "h")
        ways[how]()
        qtbot.waitUntil(lambda: bench_of(window).notices.texts == [LOSES_TWO], timeout=10_000)
    assert window.isVisible()
    assert bench_of(window).isVisible()
    assert controller_of(window).session.path == case_of(recording)
    offered = ["Try saving again", "Close without saving"]
    qtbot.waitUntil(lambda: buttons(window, "notices") == offered)
    window.close_case()
    assert window.bench is None, "once there is space, closing keeps all"
    with Session.open(case_of(recording), writable=False) as session:
        assert [(one.start, one.end) for one in session.case.tags] == [(0, 1001), (1001, None)]


def test_closing_from_the_settings_shows_what_would_be_lost(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "c")
        window.commands.actions["show_settings"].trigger()
        window.close()
    assert bench_of(window).isVisible()


@pytest.mark.parametrize("quits", [False, True])
def test_who_gives_up_what_waits_gets_what_was_wanted(
    recording: Path, opened: Opener, qtbot: QtBot, quits: bool
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    seek(qtbot, window, 1001)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "h")
        closed = window.close() if quits else window.close_case()
        assert not closed
        window.commands.actions["close_without"].trigger()
        assert window.start.isVisible() != quits
        assert window.isVisible() != quits
    with Session.open(case_of(recording), writable=False) as session:
        assert [(one.start, one.end) for one in session.case.tags] == [(0, None)]


def test_what_is_done_after_others_were_given_up_is_not_given_up_with_them(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    """They are given up for another case, say, which then can't be opened."""
    window = opened(recording)
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "c")
        controller_of(window).retry.drop()
        seek(qtbot, window, 1001)
        QTest.keySequence(window, "h")
        assert not window.close_case()


def test_told_to_end_it_ends_also_where_what_is_typed_can_not_be_kept(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    title = bench_of(window).top.title
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True) as disk:
        title.setFocus()
        QTest.keyClicks(title, "Core")
        window.end()
    assert disk.has_failed
    assert not window.isVisible()


def test_a_save_that_the_disk_refuses_keeps_no_case_open_and_no_change_waiting(
    recording: Path, opened: Opener, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")

    def full(*_: object) -> None:
        raise StoreError("can't be written") from OSError(errno.ENOSPC, "")

    monkeypatch.setattr(KnownFile, "replace", full)
    save(qtbot, window)
    assert "Every change is safe beside it." in bench_of(window).notices.texts[0]
    seek(qtbot, window, 1001)
    tag(qtbot, window, "h")
    assert times_of(window) == [(0, 1001), (1001, None)]
    assert "Every change is safe beside it." in bench_of(window).notices.texts[0]
    assert window.close_case()
    monkeypatch.undo()
    with Session.open(case_of(recording), writable=False) as session:
        assert len(session.case.tags) == 2


def test_a_save_that_fails_is_said_until_one_succeeds(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        save(qtbot, window)
        save(qtbot, window)
    assert "Every change is safe beside it." in bench_of(window).notices.texts[0]
    save(qtbot, window)
    assert bench_of(window).notices.texts == []
    assert window.status.said == "Saved"


def test_an_undo_that_the_disk_refused_is_tried_again(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    with FailingDisk(fails=1, code=errno.ENOSPC, lasting=True):
        QTest.keySequence(window, "Ctrl+Z")
    with Session.open(case_of(recording), writable=False) as session:
        assert len(session.case.tags) == 1
    controller_of(window).retry.try_again()
    assert bench_of(window).notices.texts == []
    assert controller_of(window).case.tags == ()


def test_undo_reaches_back_over_saves(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    empty = controller_of(window).case
    for at, key in ((0, "c"), (1001, "h"), (2002, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
        save(qtbot, window)
        assert window.status.said == "Saved"
    full = controller_of(window).case
    for _ in range(3):
        tag(qtbot, window, "Ctrl+Z")
    assert controller_of(window).case == empty
    save(qtbot, window)
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
