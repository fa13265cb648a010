"""The foot of the window tells what is being made, and stops it when asked to."""

from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from annotator.desktop.tasks.task import Task, time_left
from annotator.desktop.tasks.task_list import TaskList
from annotator.desktop.timeline import strip_maker
from annotator.desktop.window import Window
from annotator.errors import MediaError
from annotator.media.pictures.thumbnails import Thumbnail, thumbnails
from annotator.media.pictures.whole_strip import Take
from annotator.progress import Progress
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, move


class Job:
    """Reports a quarter until it may go on, then ends as told."""

    def __init__(self, fails: bool = False) -> None:
        self.go_on = Event()
        self._fails = fails

    def __call__(self, progress: Progress) -> None:
        while not self.go_on.wait(0.02):
            progress(1, 4)
        if self._fails:
            raise MediaError("the drive is gone")


@pytest.fixture
def jobs() -> Iterator[list[Job]]:
    made: list[Job] = []
    yield made
    for job in made:
        job.go_on.set()


def begun(tasks: TaskList, job: Job, what: str) -> Task:
    task = Task(job, tasks)
    tasks.add(task, what)
    task.start()
    return task


def ended(qtbot: QtBot, tasks: TaskList, jobs: list[Job]) -> None:
    for job in jobs:
        job.go_on.set()
    qtbot.waitUntil(lambda: not tasks.texts, timeout=5_000)


def buttons(window: Window) -> dict[str, QToolButton]:
    """Those that screen readers are told of, by name."""
    seen = [one for one in window.findChildren(QToolButton) if one.isVisible()]
    return {QAccessible.queryAccessibleInterface(one).text(QAccessible.Text.Name): one for one in seen}


def test_one_work_is_named_with_what_is_left_and_goes_when_it_is_done(
    opened: Opener, recording: Path, qtbot: QtBot, jobs: list[Job]
) -> None:
    tasks = opened(recording).status.tasks
    jobs.append(Job())
    begun(tasks, jobs[0], "Review copy")
    # Where the machine is busy, what is made of the recording itself is told of too.
    qtbot.waitUntil(lambda: tasks.texts == ["Review copy: less than a minute left"], timeout=20_000)
    ended(qtbot, tasks, jobs)
    assert not tasks.isVisible()


def test_several_stand_behind_a_button_and_open_above_the_foot(
    opened: Opener, recording: Path, qtbot: QtBot, jobs: list[Job]
) -> None:
    window = opened(recording)
    tasks = window.status.tasks
    jobs += [Job(), Job(), Job()]
    for job, what in zip(jobs, ("Thumbnails", "Sound", "Review copy"), strict=True):
        begun(tasks, job, what)
    qtbot.waitUntil(lambda: len(tasks.texts) == 3, timeout=5_000)
    more = buttons(window)["Show other background tasks"]
    assert more.text() == "and 2 more"
    assert "Stop: Thumbnails" in buttons(window)
    assert "Stop: Sound" not in buttons(window)
    QTest.mouseClick(more, Qt.MouseButton.LeftButton)
    stop = buttons(window)["Stop: Sound"]
    top = stop.mapTo(window, stop.rect().topLeft()).y()
    assert 0 < top < window.status.y()
    assert window.rect().contains(stop.mapTo(window, stop.rect().bottomRight()))
    assert min(stop.width(), stop.height()) >= 24
    QTest.mouseClick(stop, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(tasks.texts) == 2, timeout=5_000)
    assert window.status.said == "Sound: stopped; nothing is left half-written"
    jobs[0].go_on.set()
    qtbot.waitUntil(lambda: [text.split(":")[0] for text in tasks.texts] == ["Review copy"], timeout=5_000)
    assert "Stop: Review copy" in buttons(window)
    ended(qtbot, tasks, jobs)
    assert not tasks.isVisible()


def test_a_failure_is_said_in_a_sentence(opened: Opener, recording: Path, qtbot: QtBot) -> None:
    window = opened(recording)
    job = Job(fails=True)
    task = begun(window.status.tasks, job, "Review copy")
    with qtbot.waitSignal(task.failed):
        job.go_on.set()
    assert window.status.said == "Review copy: the drive is gone"


def test_work_that_dies_with_its_owner_does_not_stay(window: Window, qtbot: QtBot, jobs: list[Job]) -> None:
    tasks = window.status.tasks
    jobs.append(Job())
    task = begun(tasks, jobs[0], "Thumbnails")
    qtbot.waitUntil(lambda: len(tasks.texts) == 1, timeout=5_000)
    jobs[0].go_on.set()
    task.wait()
    with qtbot.waitSignal(task.destroyed):
        task.deleteLater()
    assert not tasks.texts


def test_a_film_strip_that_is_stopped(
    opened: Opener, recording: Path, qtbot: QtBot, jobs: list[Job], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The window works on, the lane says so, and the next time the strip is made whole."""
    jobs.append(Job())

    def slow(path: Path, _duration: int, _looked_at: object, take: Take, progress: Progress) -> list[Thumbnail]:
        take(list(islice(thumbnails(path), 1)))
        jobs[0](progress)
        return []

    with monkeypatch.context() as patched:
        patched.setattr(strip_maker, "whole_strip", slow)
        window = opened(recording)
        qtbot.waitUntil(lambda: "Stop: Thumbnails" in buttons(window), timeout=20_000)
        strips = bench_of(window).strips
        with qtbot.waitSignal(strips.done):
            QTest.mouseClick(buttons(window)["Stop: Thumbnails"], Qt.MouseButton.LeftButton)
    assert strips.films[0].says.startswith("stopped")
    assert len(strips.films[0]) == 1
    assert window.status.said.startswith("Thumbnails: stopped")
    move(qtbot, window, ".")
    assert clock_ms(window) == 34
    window.close_case()
    window = opened(recording)
    qtbot.waitUntil(lambda: bench_of(window).strips.is_done, timeout=10_000)
    assert bench_of(window).strips.films[0].says == ""
    assert len(bench_of(window).strips.films[0]) > 1


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (None, ""),
        (3.0, "less than a minute left"),
        (70.0, "about a minute left"),
        (200.0, "about 3 minutes left"),
        (6_000.0, "about 2 hours left"),
    ],
)
def test_the_time_left_in_words(seconds: float | None, words: str) -> None:
    assert time_left(seconds) == words
