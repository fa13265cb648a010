"""One question at a time, answered in the background; nobody waits for the answer to one that is given up."""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, QObject, Signal

from annotator.desktop.tasks.task import Job, Task
from annotator.errors import AnnotatorError


def _leave(_outcome: object) -> None:
    """Nothing need be done with what came too late."""


class LatestTask(QObject):
    """Runs the newest job; a new one makes the one under way stop.

    `in_turn`: the new one begins once the old one has ended, as both may want the same thing. Else it begins at once,
    and what hangs, as a file on a network may, keeps nobody from going on. `too_late` is given what a job has brought
    after it was given up.

    came        what the newest job gave back
    failed      the error that it ended with
    progressed  share done from 0 to 1, and seconds left or None
    """

    came = Signal(object)
    failed = Signal(object)
    progressed = Signal(float, object)

    def __init__(self, parent: QObject, *, in_turn: bool = True, too_late: Callable[[object], None] = _leave) -> None:
        super().__init__(parent)
        self._in_turn = in_turn
        self._too_late = too_late
        self._task: Task | None = None
        self._given_up: list[Task] = []
        self._is_waiting = False

    @property
    def is_used(self) -> bool:
        """Whether a job is under way, or waits for its turn."""
        return self._task is not None

    def run(self, job: Job) -> None:
        """Run the job, and nothing that was asked for before."""
        self.forget()
        self._task = task = Task(job, self)
        task.progressed.connect(self._tell_progress)
        for ended in (task.done, task.failed, task.cancelled):
            ended.connect(self._end)
        self._is_waiting = self._in_turn and bool(self._given_up)
        if not self._is_waiting:
            task.start()

    def forget(self) -> None:
        """Tell nothing of what was asked for so far, and have it stopped; does not wait until it has."""
        task, self._task = self._task, None
        if task is None:
            return
        if self._is_waiting:
            task.deleteLater()
        else:
            task.cancel()
            self._given_up.append(task)
        self._is_waiting = False

    def close_down(self) -> None:
        """Nothing is under way any more once this returns, but for what hangs: that ends by itself, untold."""
        self.forget()
        for task in tuple(self._given_up):
            if task.end_soon():
                QCoreApplication.sendPostedEvents(task)  # in which it tells what it has brought

    def _tell_progress(self, share: float, left: object) -> None:
        if self.sender() is self._task:
            self.progressed.emit(share, left)

    def _end(self, outcome: object = None) -> None:
        task = self.sender()
        if not isinstance(task, Task):
            return
        task.deleteLater()
        if task is self._task:
            self._task = None
            (self.failed if isinstance(outcome, AnnotatorError) else self.came).emit(outcome)
            return
        self._given_up.remove(task)
        self._too_late(outcome)
        if self._is_waiting and self._task is not None and not self._given_up:
            self._is_waiting = False
            self._task.start()
