"""One job at a time: what is given up is neither told of nor waited for."""

from collections.abc import Callable, Iterator
from functools import partial
from threading import Event, current_thread

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from annotator.desktop.tasks import task
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.errors import MediaError
from annotator.progress import Progress


class Hanging:
    """A job that hears nothing until it is let go, as one that reads from a share that has gone."""

    def __init__(self) -> None:
        self.begun, self.let_go = Event(), Event()

    def __call__(self, _progress: Progress) -> str:
        self.begun.set()
        self.let_go.wait()
        return "late"


@pytest.fixture
def hanging() -> Iterator[Hanging]:
    made = Hanging()
    yield made
    made.let_go.set()


@pytest.fixture
def parent(qtbot: QtBot) -> Iterator[QObject]:
    made = QObject()
    yield made
    made.deleteLater()


def brings(answer: str) -> Callable[[Progress], str]:
    return lambda _progress: answer


def test_what_hangs_keeps_nobody_from_going_on(parent: QObject, hanging: Hanging, qtbot: QtBot) -> None:
    late: list[object] = []
    latest = LatestTask(parent, in_turn=False, too_late=late.append)
    latest.run(hanging)
    hanging.begun.wait()
    with qtbot.waitSignal(latest.came) as told:
        latest.run(brings("soon"))
    assert told.args == ["soon"]
    assert not latest.is_used
    assert late == []
    hanging.let_go.set()
    qtbot.waitUntil(lambda: late == ["late"])


def test_in_turn_the_next_begins_once_the_one_before_has_ended(parent: QObject, hanging: Hanging, qtbot: QtBot) -> None:
    late: list[object] = []
    latest = LatestTask(parent, too_late=late.append)
    latest.run(hanging)
    hanging.begun.wait()
    begun = Event()

    def never(_progress: Progress) -> None:
        begun.set()

    latest.run(never)
    latest.run(brings("newest"))
    assert latest.is_used
    with qtbot.waitSignal(latest.came) as told:
        hanging.let_go.set()
    assert told.args == ["newest"]
    assert late == ["late"]
    assert not begun.is_set()


def test_what_is_forgotten_is_not_told(parent: QObject, hanging: Hanging, qtbot: QtBot) -> None:
    late: list[object] = []
    latest = LatestTask(parent, too_late=late.append)
    latest.came.connect(partial(pytest.fail, "it was forgotten"))
    latest.run(hanging)
    latest.forget()
    assert not latest.is_used
    hanging.let_go.set()
    qtbot.waitUntil(lambda: late == ["late"])


def test_a_fault_is_told(parent: QObject, qtbot: QtBot) -> None:
    def job(_progress: Progress) -> None:
        raise MediaError("no picture")

    latest = LatestTask(parent)
    with qtbot.waitSignal(latest.failed) as told:
        latest.run(job)
    assert str(told.args[0]) == "no picture"
    assert not latest.is_used


def test_closing_waits_for_what_ends_and_not_for_what_hangs(
    parent: QObject, hanging: Hanging, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    threads = []

    def ends(progress: Progress) -> None:
        threads.append(current_thread())
        begun.set()
        while True:
            progress(1, 2)

    begun = Event()
    latest = LatestTask(parent)
    latest.run(ends)
    begun.wait()
    latest.close_down()
    assert not threads[0].is_alive()
    monkeypatch.setattr(task, "_MOMENT", 0.01)
    latest.run(hanging)
    hanging.begun.wait()
    latest.close_down()
    assert not hanging.let_go.is_set()
