"""The case's file is written beside the window: tagging goes on meanwhile, and closing waits for it."""

from collections.abc import Callable
from pathlib import Path
from threading import Event, current_thread, main_thread

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.tasks.task import Task
from annotator.formats.case import casefile
from annotator.model.case import Case
from annotator.store.reading import read_case
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of, seek, tag
from tests.desktop.workspace.test_case_notices import case_of


@pytest.fixture
def may_write(monkeypatch: pytest.MonkeyPatch) -> Event:
    """Where this is not set, no thread but the window's makes the text of a case."""
    go_on, dumps = Event(), casefile.dumps
    go_on.set()

    def waits(case: Case, revision: int) -> bytes:
        if current_thread() is not main_thread():
            go_on.wait()
        return dumps(case, revision)

    monkeypatch.setattr(casefile, "dumps", waits)
    return go_on


def test_tagging_goes_on_while_the_file_is_written(
    recording: Path, opened: Opener, qtbot: QtBot, may_write: Event
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    may_write.clear()
    QTest.keySequence(window, "Ctrl+S")
    seek(qtbot, window, 1001)
    tag(qtbot, window, "h")
    on_disk = read_case(case_of(recording))
    assert (on_disk.saved, len(on_disk.case.tags)) == (0, 2), "the file is the old one, the journal has both"
    assert window.status.said != "Saved"
    QTest.keySequence(window, "Ctrl+S")
    may_write.set()
    qtbot.waitUntil(lambda: window.status.said == "Saved")
    assert controller_of(window).session.is_saved, "what was asked for meanwhile has followed"
    found = read_case(case_of(recording))
    assert (found.saved, found.recovered, len(found.case.tags)) == (2, 0, 2)


def test_closing_waits_for_the_file(
    recording: Path, opened: Opener, qtbot: QtBot, may_write: Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    may_write.clear()
    QTest.keySequence(window, "Ctrl+S")
    wait: Callable[[Task], None] = Task.wait

    def waits(task: Task) -> None:
        may_write.set()
        wait(task)

    monkeypatch.setattr(Task, "wait", waits)
    assert not may_write.is_set()
    assert window.close_case()
    found = read_case(case_of(recording))
    assert (found.saved, found.recovered, len(found.case.tags)) == (1, 0, 1)
    assert [path.name for path in case_of(recording).parent.glob(".*")] == []
