"""Reads recordings one after the other, beside the window, for what a list of them shows."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.task import Task
from annotator.progress import Progress
from annotator.workflow.new_case import read_recording


class RecordingReader(QObject):
    """read        a path and the Recording there
    failed      a path and why it can't be read
    progressed  a path and how much of it is read, from 0 to 1
    """

    read = Signal(object, object)
    failed = Signal(object, str)
    progressed = Signal(object, float)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._left: list[Path] = []
        self._case_path = Path()
        self._kept_in: Path | None = None
        self._task: Task | None = None
        self._path = Path()

    def begin(self, case_path: Path, kept_in: Path | None) -> None:
        """Read for the case at a path from now on, and nothing of what was asked for before."""
        self.stop()
        self._case_path, self._kept_in = case_path, kept_in

    def add(self, path: Path) -> None:
        """Read this too."""
        self._left.append(path)
        self._go_on()

    def drop(self, path: Path) -> None:
        """This need not be read any more."""
        if path in self._left:
            self._left.remove(path)
        elif self._task is not None and path == self._path:
            self._end_task()
            self._go_on()

    def stop(self) -> None:
        """Nothing is read any more once this returns."""
        self._left.clear()
        self._end_task()

    def _go_on(self) -> None:
        if self._task is not None or not self._left:
            return
        self._path = self._left.pop(0)
        path, case_path, kept_in = self._path, self._case_path, self._kept_in

        def job(progress: Progress) -> object:
            return read_recording(path, case_path, kept_in, progress)

        self._task = Task(job, self)
        self._task.progressed.connect(self._tell_progress)
        self._task.done.connect(partial(self._tell, self._task, self.read))
        self._task.failed.connect(partial(self._tell, self._task, self.failed))
        self._task.start()

    def _tell_progress(self, share: float, _left: object) -> None:
        if self.sender() is self._task:
            self.progressed.emit(self._path, share)

    def _tell(self, task: Task, kind: object, outcome: object) -> None:
        if task is not self._task:
            return
        path, self._task = self._path, None
        task.deleteLater()
        if kind is self.failed:
            self.failed.emit(path, str(outcome))
        else:
            self.read.emit(path, outcome)
        self._go_on()

    def _end_task(self) -> None:
        task, self._task = self._task, None
        if task is not None:
            task.cancel()
            task.wait()
            task.deleteLater()
