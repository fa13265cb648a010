"""Long work: in another thread, told of, stopped, and never lost without a word."""

import threading

import pytest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from annotator.desktop.tasks.task import Task
from annotator.desktop.tasks.task_row import TaskRow
from annotator.errors import AnnotatorError, MediaError
from annotator.progress import Progress, tell
from tests.running import PATIENCE


def test_the_result_comes_in_the_windows_thread(qtbot: QtBot) -> None:
    threads: list[int] = []

    def job(_progress: Progress) -> str:
        threads.append(threading.get_ident())
        return "done"

    task = Task(job)
    with qtbot.waitSignal(task.done) as told:
        task.start()
    assert told.args == ["done"]
    assert threads != [threading.get_ident()]


def test_progress_is_told_with_the_time_left(qtbot: QtBot) -> None:
    go_on = threading.Event()

    def job(progress: Progress) -> None:
        progress(1, 4)
        go_on.wait(5)

    task = Task(job)
    with qtbot.waitSignal(task.progressed) as told:
        task.start()
    assert told.args[0] == 0.25
    assert isinstance(told.args[1], float)
    with qtbot.waitSignal(task.done):
        go_on.set()


def test_a_row_says_which_of_how_many_is_being_made(qtbot: QtBot) -> None:
    begin, go_on = threading.Event(), threading.Event()

    def job(progress: Progress) -> None:
        begin.wait(PATIENCE)
        tell(progress, "clip 3 of 14")
        progress(1, 4)
        go_on.wait(PATIENCE)

    row = TaskRow()
    qtbot.addWidget(row)
    row.start(job, "Writing")
    assert row.running is not None
    with qtbot.waitSignal(row.running.progressed):
        begin.set()
    says = [text.text() for text in row.findChildren(QLabel)]
    with qtbot.waitSignal(row.ended):
        go_on.set()
    assert says == ["Writing clip 3 of 14, less than a minute left"]


def test_a_cancel_stops_at_the_next_report(qtbot: QtBot) -> None:
    begun, cancelled = threading.Event(), threading.Event()

    def job(progress: Progress) -> None:
        begun.set()
        cancelled.wait(5)
        progress(1, 2)
        raise AssertionError("went on")

    task = Task(job)
    task.start()
    begun.wait(5)
    with qtbot.waitSignal(task.cancelled):
        task.cancel()
        cancelled.set()


def test_an_error_of_ours_is_handed_on(qtbot: QtBot) -> None:
    def job(_progress: Progress) -> None:
        raise MediaError("no picture in it")

    task = Task(job)
    with qtbot.waitSignal(task.failed) as told:
        task.start()
    assert isinstance(told.args[0], MediaError)


def test_a_fault_of_the_program_ends_in_a_sentence_too_and_is_logged(
    qtbot: QtBot, caplog: pytest.LogCaptureFixture
) -> None:
    def job(_progress: Progress) -> None:
        raise ZeroDivisionError("by nothing")

    task = Task(job)
    with qtbot.waitSignal(task.failed) as told:
        task.start()
    assert isinstance(told.args[0], AnnotatorError)
    assert "ZeroDivisionError" in str(told.args[0])
    (kept,) = caplog.records
    assert kept.exc_info is not None
    assert kept.exc_info[0] is ZeroDivisionError
