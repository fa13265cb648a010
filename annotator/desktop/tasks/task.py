"""Long work in a background thread, with progress, remaining time and a cancel."""

from collections.abc import Callable
from functools import partial
from threading import Event, Thread
from time import monotonic
from typing import Any, NamedTuple

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.memory import give_back
from annotator.errors import AnnotatorError, Cancelled
from annotator.progress import Progress
from annotator.workflow.log import keep_fault

Job = Callable[[Progress], Any]
"""Task that reports how far it is, and is stopped by an error from its report."""

_REPORTS_EVERY = 0.1
"""Seconds between two reports to the window; more would only slow the work."""

_LONG = 0.2
"""Seconds after which work may have taken a good deal of memory."""


_MOMENT = 2.0
"""Seconds that whoever closes something waits for work that only reads."""

THREAD = "work"
"""What the names of the threads begin with."""


class Task(QObject):
    """One piece of work under way. All signals come in the thread of the window, once the other one has ended.

    progressed  share done from 0 to 1, and seconds left or None while nobody can tell
    done        the job's result
    failed      the error, one of ours
    cancelled   the job has stopped and cleaned up

    `words` say what it is making right now: “clip 3 of 14”; empty where it does not tell.
    """

    progressed = Signal(float, object)
    done = Signal(object)
    failed = Signal(object)
    cancelled = Signal()
    _ended = Signal(object)

    def __init__(self, job: Job, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._job = job
        self._stop = Event()
        self.words = ""
        self._begun = 0.0
        self._told = 0.0
        self._thread = Thread(target=self._run, name=f"{THREAD}: {_name_of(job)}", daemon=True)
        self._ended.connect(self._tell_end)

    def start(self) -> None:
        self._thread.start()

    def cancel(self) -> None:
        """Ask the work to stop; `cancelled` follows once it has."""
        self._stop.set()

    def wait(self) -> None:
        """Until the thread has ended; nothing of Qt's may be taken away before."""
        if self._thread.is_alive():
            self._thread.join()

    def end_soon(self) -> bool:
        """Cancel, and wait a moment; whether it has ended. What has not, as it hangs, is left to itself."""
        self.cancel()
        if self._thread.is_alive():
            self._thread.join(_MOMENT)
        if self._thread.is_alive():
            self._ended.disconnect(self._tell_end)
            self.setParent(None)
            _left_alone.append(self)
        return not self._thread.is_alive()

    def _run(self) -> None:
        """In the other thread."""
        self._begun = monotonic()
        outcome: object
        try:
            outcome = _Done(self._job(_Report(self)))
        except AnnotatorError as error:
            outcome = error
        except Exception as error:  # noqa: BLE001  # a fault of ours must not leave the window waiting for ever
            keep_fault(error)
            outcome = AnnotatorError(f"a fault in the program ({type(error).__name__}: {error}); please report it")
        if monotonic() - self._begun > _LONG:
            give_back()
        self._ended.emit(outcome)  # Qt calls `_tell_end` in the window's thread, where the task lives

    def _tell_end(self, outcome: object) -> None:
        self.wait()  # whoever is told may take the task away, and the thread may still be on its way out of `emit`
        if isinstance(outcome, _Done):
            self.done.emit(outcome.result)
        elif isinstance(outcome, Cancelled):
            self.cancelled.emit()
        else:
            self.failed.emit(outcome)

    def report(self, done: float, total: float) -> None:
        """How far the job is, told in the other thread. Raises Cancelled where it is to stop."""
        if self._stop.is_set():
            raise Cancelled("stopped")
        now = monotonic()
        if now - self._told < _REPORTS_EVERY:
            return
        self._told = now
        share = done / total if total else 0.0
        left = (now - self._begun) * (1 - share) / share if share > 0.02 else None
        self.progressed.emit(share, left)


def time_left(seconds: object) -> str:
    """What is left as a person would say it, so that it does not count down restlessly; empty for None."""
    if not isinstance(seconds, float):
        return ""
    minutes = round(seconds / 60)
    if seconds < 45:
        return "less than a minute left"
    if minutes <= 1:
        return "about a minute left"
    return f"about {minutes} minutes left" if minutes < 90 else f"about {round(minutes / 60)} hours left"


def _name_of(job: Job) -> str:
    """Where a job was made, for the log."""
    return str(getattr(job.func if isinstance(job, partial) else job, "__qualname__", job))


_left_alone: list[Task] = []
"""What hung when its window was closed: the object must be there until its thread ends, and nobody knows when."""


class _Done(NamedTuple):
    result: object


class _Report(NamedTuple):
    """The progress of a job: what it says goes to its task."""

    task: Task

    def __call__(self, done: float, total: float, /) -> None:
        self.task.report(done, total)

    def tell(self, words: str, /) -> None:
        self.task.words = words
