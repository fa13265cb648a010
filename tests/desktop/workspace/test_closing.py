"""Closing at any moment: no thread goes on with what is gone, nothing of a bench stays behind, and no lock."""

import gc
from collections import Counter
from pathlib import Path
from threading import enumerate as threads

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from annotator.desktop.tasks.task import THREAD
from annotator.desktop.window import Window
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of


def under_way() -> list[str]:
    """Names of the threads that work beside the window."""
    return [one.name for one in threads() if one.name.startswith(THREAD)]


def put_away() -> None:
    """Let Qt delete what waits for it, and Python forget it."""
    QApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()


@pytest.mark.parametrize("step", range(8))
def test_nothing_goes_on_after_the_case_was_closed(step: int, window: Window, recording: Path, qtbot: QtBot) -> None:
    """So many rounds of events after the case was opened, whatever is being made by then."""
    window.open_paths([recording])
    qtbot.waitUntil(lambda: window.bench is not None, timeout=20_000)
    for _ in range(step):
        QApplication.processEvents()
    window.close_case()
    assert under_way() == []
    put_away()
    Session.open(recording.with_name("model-eye.case.jsonld")).close()


@pytest.mark.parametrize("step", range(8))
def test_quitting_while_a_case_is_opened(step: int, window: Window, recording: Path) -> None:
    window.open_paths([recording])
    for _ in range(step):
        QApplication.processEvents()
    window.close()
    assert under_way() == []
    put_away()
    case = recording.with_name("model-eye.case.jsonld")
    if case.exists():
        Session.open(case).close()


def test_nothing_of_a_bench_stays_behind(window: Window, recording: Path, opened: Opener) -> None:
    """Cases opened and closed again leave as many objects as there were after the first one."""

    def round_trip() -> Counter[str]:
        opened(recording)
        QTest.keySequence(window, "c")
        bench_of(window).panels.show_publish()
        controller_of(window).undo()
        window.close_case()
        put_away()
        ours = (one for one in gc.get_objects() if isinstance(one, QObject) and isValid(one))
        return Counter(type(one).__name__ for one in ours if type(one).__module__.startswith("annotator."))

    round_trip()
    before = round_trip()
    assert round_trip() - before == Counter()
