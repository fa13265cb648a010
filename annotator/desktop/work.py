"""Long work beside the window: in a thread of its own, with progress, remaining time and a cancel."""

from collections.abc import Callable
from threading import Event
from time import monotonic
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal

from annotator.errors import AnnotatorError, Cancelled
from annotator.progress import Progress

Job = Callable[[Progress], Any]
"""Work that reports how far it is, and is stopped by an error from its report."""

_REPORTS_EVERY = 0.1
"""Seconds between two reports to the window; more would only slow the work."""


class Work(QObject):
    """One piece of work under way. Signals arrive in the thread of the window.

    progressed  share done from 0 to 1, and seconds left or None while nobody can tell
    done        the job's result
    failed      the error, one of ours
    cancelled   the job has stopped and cleaned up
    """

    progressed = Signal(float, object)
    done = Signal(object)
    failed = Signal(object)
    cancelled = Signal()

    def __init__(self, job: Job, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._stop = Event()
        self._runner = _Runner(job, self._stop)
        tell = self._runner.tell
        tell.progressed.connect(self.progressed)
        tell.done.connect(self.done)
        tell.failed.connect(self.failed)
        tell.cancelled.connect(self.cancelled)

    def start(self) -> None:
        QThreadPool.globalInstance().start(self._runner)

    def cancel(self) -> None:
        """Ask the work to stop; `cancelled` follows once it has."""
        self._stop.set()


class _Tell(QObject):
    progressed = Signal(float, object)
    done = Signal(object)
    failed = Signal(object)
    cancelled = Signal()


class _Runner(QRunnable):
    def __init__(self, job: Job, stop: Event) -> None:
        super().__init__()
        # Python keeps the runner as long as the Work lives; the pool must not delete it under its feet.
        self.setAutoDelete(False)
        self.tell = _Tell()
        self._job = job
        self._stop = stop
        self._begun = 0.0
        self._told = 0.0

    def run(self) -> None:
        self._begun = monotonic()
        try:
            result = self._job(self._report)
        except Cancelled:
            self.tell.cancelled.emit()
        except AnnotatorError as error:
            self.tell.failed.emit(error)
        else:
            self.tell.done.emit(result)

    def _report(self, done: float, total: float, /) -> None:
        if self._stop.is_set():
            raise Cancelled("stopped")
        now = monotonic()
        if now - self._told < _REPORTS_EVERY:
            return
        self._told = now
        share = done / total if total else 0.0
        left = (now - self._begun) * (1 - share) / share if share > 0.02 else None
        self.tell.progressed.emit(share, left)
