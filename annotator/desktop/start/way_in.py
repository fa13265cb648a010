"""One thing at a time is opened, in work beside the window; what comes of one that was given up is closed again."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QObject, Signal

from annotator.desktop.editing.opening import Opened
from annotator.desktop.tasks.task import Job, Task
from annotator.errors import AnnotatorError


class WayIn(QObject):
    """came        what the work under way brings
    failed      why it brings nothing
    progressed  share done from 0 to 1, and seconds left or None
    """

    came = Signal(object)
    failed = Signal(object)
    progressed = Signal(float, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._wanted: tuple[Path, ...] = ()
        self._task: Task | None = None
        self._given_up: list[Task] = []
        self._waiting: Callable[[], None] | None = None

    @property
    def is_used(self) -> bool:
        """Whether something is being opened, or waits for what was given up to end."""
        return self._task is not None

    def is_wanted(self, paths: Sequence[Path]) -> bool:
        """Whether just these are being opened."""
        return self.is_used and bool(paths) and tuple(paths) == self._wanted

    def go(self, job: Job, paths: Sequence[Path] = ()) -> None:
        """Open what the job brings, which the user knows by these paths; what was under way gives way to it.

        It begins once that has ended, as both may want the same case.
        """
        self.give_up()
        self._wanted = tuple(paths)
        self._task = task = Task(job, self)
        task.progressed.connect(self._tell_progress)
        for ended in (task.done, task.failed, task.cancelled):
            ended.connect(self._end)
        if self._given_up:
            self._waiting = task.start
        else:
            task.start()

    def give_up(self) -> None:
        """Nothing comes of what is under way."""
        if self._task is None:
            return
        if self._waiting is None:
            self._task.cancel()
            self._given_up.append(self._task)
        else:
            self._task.deleteLater()
        self._task = self._waiting = None

    def close_down(self) -> None:
        """Nothing is opened any more once this returns."""
        self.give_up()
        for task in tuple(self._given_up):
            task.wait()
            QCoreApplication.sendPostedEvents(task)  # in which it tells what it has brought

    def _tell_progress(self, share: float, left: object) -> None:
        if self.sender() is self._task:
            self.progressed.emit(share, left)

    def _end(self, outcome: object = None) -> None:
        task = self.sender()
        if task is self._task:
            self._task = None
            if isinstance(outcome, AnnotatorError):
                self.failed.emit(outcome)
            else:
                self.came.emit(outcome)
        elif isinstance(task, Task):
            self._given_up.remove(task)
            _close_again(outcome)
            self._begin_waiting()
        if isinstance(task, Task):
            task.deleteLater()

    def _begin_waiting(self) -> None:
        if self._waiting is not None and not self._given_up:
            begin, self._waiting = self._waiting, None
            begin()


def _close_again(outcome: object) -> None:
    if isinstance(outcome, Opened):
        with suppress(AnnotatorError):  # it was changed by nobody, so nothing can be lost
            outcome.session.close()
