"""A bar, the remaining time and a cancel for one piece of long work; hidden while there is none."""

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QVBoxLayout, QWidget

from annotator.desktop.tasks.task import Job, Task, time_left
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label


class TaskRow(QWidget):
    """Runs one job at a time.

    ended  what the job gave back, the error it ended with, or None where it was stopped
    """

    ended = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._task: Task | None = None
        self._name = ""
        self._what = label("", "second")
        self._what.setWordWrap(True)
        self._bar = QProgressBar()
        self._bar.setTextVisible(False)
        self._bar.setRange(0, 1000)
        self._bar.setAccessibleName("Progress of publishing")
        self.cancel = PushButton("Cancel")
        self.cancel.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.cancel.clicked.connect(self._cancel)
        row = QHBoxLayout()
        row.addWidget(self._bar, 1)
        row.addWidget(self.cancel)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addWidget(self._what)
        column.addLayout(row)
        self.hide()

    def start(self, job: Job, what: str) -> None:
        """Run the job; nothing while another one runs."""
        if self._task is None:
            task = Task(job, self)
            self.go_on(task, what)
            task.start()

    def go_on(self, task: Task, what: str) -> None:
        """Show work that is under way."""
        self._name = what
        self._what.setText(what)
        self._bar.setValue(0)
        self.cancel.setEnabled(True)
        self._task = task
        task.setParent(self)
        task.progressed.connect(self._show)
        task.done.connect(self._end)
        task.failed.connect(self._end)
        task.cancelled.connect(self._end_stopped)
        self.show()

    @property
    def running(self) -> Task | None:
        """What is under way."""
        return self._task

    def stop(self) -> None:
        """Stop; `ended` has told what came of it once this returns."""
        task = self._task
        if task is not None:
            task.cancel()
            task.wait()
            QCoreApplication.sendPostedEvents(task)  # in which it tells that it has ended

    def close_down(self) -> None:
        """Stop; nothing is written any more once this returns, and nothing told."""
        if self._task is not None:
            self._task.cancel()
            self._task.wait()
            self._task.blockSignals(True)
            self._task = None

    def hand_over(self) -> Task | None:
        """Let go of what is under way, for another row to go on with."""
        task, self._task = self._task, None
        if task is not None:
            task.progressed.disconnect(self._show)
            for signal, slot in ((task.done, self._end), (task.failed, self._end), (task.cancelled, self._end_stopped)):
                signal.disconnect(slot)
            task.setParent(None)
        return task

    def _cancel(self) -> None:
        if self._task is not None:
            self._task.cancel()
            self.cancel.setEnabled(False)
            self._what.setText("Stopping…")

    def _show(self, share: float, left: object) -> None:
        self._bar.setValue(round(1000 * share))
        if self._task is not None and self.cancel.isEnabled():
            made = f"{self._name} {self._task.words}".rstrip()
            self._what.setText(", ".join(filter(None, (made, time_left(left)))))

    def _end_stopped(self) -> None:
        self._end(None)

    def _end(self, result: object) -> None:
        self._task = None
        self.ended.emit(result)
        self.hide()
