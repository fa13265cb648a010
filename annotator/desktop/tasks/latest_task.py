"""The answer to the newest of several questions, found beside the window; nobody waits for one that is given up."""

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.task import Job, Task


class LatestTask(QObject):
    """One job at a time: a new one stops the one under way, and begins once that has ended.

    found  what the newest job gave back, or the words of its error
    """

    found = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._next: Job | None = None
        self._is_wanted = False
        self._task: Task | None = None

    def look(self, job: Job) -> None:
        """Run the job, and nothing that was asked for before."""
        self.forget()
        self._next = job
        self._start()

    def forget(self) -> None:
        """Tell nothing of what was asked for so far."""
        self._next, self._is_wanted = None, False
        if self._task is not None:
            self._task.cancel()

    def close_down(self) -> None:
        """Nothing is under way any more once this returns."""
        self.forget()
        if self._task is not None:
            self._task.wait()

    def _start(self) -> None:
        if self._task is not None or self._next is None:
            return
        self._task, self._next, self._is_wanted = Task(self._next, self), None, True
        self._task.done.connect(self._end)
        self._task.failed.connect(self._end)
        self._task.cancelled.connect(self._end)
        self._task.start()

    def _end(self, answer: object = None) -> None:
        if self._task is not None:
            self._task.deleteLater()
        self._task = None
        if self._is_wanted:
            self.found.emit(str(answer))
        self._start()
