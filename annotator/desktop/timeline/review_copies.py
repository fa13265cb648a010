"""Review copies of a case's recordings: found in the cache, or made in the background, one after the other."""

from collections import deque
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.task import Job, Task
from annotator.errors import MediaError
from annotator.media.cache.review_cache import ReviewCache
from annotator.media.write.review_copy import ReviewCopy
from annotator.model.case import Case
from annotator.model.timecode import MINUTE, Ms
from annotator.progress import Progress
from annotator.workflow.frames import CaseFrames

_WORTH_IT: Ms = MINUTE
"""Recordings longer than this get a copy; in shorter ones a jump is soon enough, and the copy late."""


class ReviewCopies(QObject):
    """Copies are kept by the fingerprint of what is in each file now, its `contents`.

    ready  the number of a recording, and its ReviewCopy or, where it can't be used any more, None
    began  work is under way; carries the Task and what it makes
    said   a quiet line for the user
    done   there is nothing more to find or to make
    """

    ready = Signal(int, object)
    began = Signal(object, str)
    said = Signal(str, bool)
    done = Signal()

    def __init__(
        self,
        case: Case,
        frames: CaseFrames,
        paths: Sequence[Path | None],
        contents: Sequence[str],
        cache: ReviewCache,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._case = case
        self._frames = frames
        self._paths = paths
        self._contents = contents
        self._cache = cache
        self._missing: deque[int] = deque()
        self._has_looked = False
        self._may_make = False
        self._closed = False
        self._task: Task | None = None

    def use_cache(self, cache: ReviewCache) -> None:
        """Look for copies there, and keep them there, from now on."""
        self._cache = cache

    @property
    def is_done(self) -> bool:
        """Whether there is nothing more to find or to make."""
        return self._may_make and self._has_looked and self._task is None and not self._missing

    def find(self) -> None:
        """Look for the copies that are kept; `ready` tells of each. Nothing the second time."""
        if not self._has_looked:
            self._has_looked = True
            self._run(self._look, self._take_found)

    def start(self) -> None:
        """Make the copies that are missing, from now on."""
        self._may_make = True
        self._make_next()

    def make_again(self, recording: int) -> None:
        """A copy that was ready is damaged after all."""
        self.ready.emit(recording, None)
        self._missing.append(recording)
        self._make_next()

    def close(self) -> None:
        """Stop; nothing is made any more once this returns."""
        self._closed = True
        if self._task is not None:
            self._task.cancel()
            self._task.wait()

    # --- in the window's thread ---------------------------------------------------------------------------

    def _run(self, job: Job, take: Callable[..., None]) -> Task:
        self._task = task = Task(job, self)
        task.done.connect(take)
        for ended in (task.failed, task.cancelled):
            ended.connect(self._go_on)
        task.start()
        return task

    def _take_found(self, found: dict[int, ReviewCopy]) -> None:
        for recording, copy in found.items():
            self.ready.emit(recording, copy)
        worth_it = (one for one, recording in enumerate(self._case.recordings) if recording.duration > _WORTH_IT)
        self._missing += (one for one in worth_it if one not in found and self._paths[one] is not None)
        self._go_on()

    def _take_made(self, recording: int, made: ReviewCopy | str) -> None:
        if isinstance(made, ReviewCopy):
            self.ready.emit(recording, made)
        else:
            self.said.emit(made, False)
        self._go_on()

    def _go_on(self, _error: object = None) -> None:
        self._task = None
        self._make_next()

    def _make_next(self) -> None:
        if self._task is not None or self._closed or not (self._may_make and self._has_looked):
            return
        if not self._missing:
            self.done.emit()
            return
        recording = self._missing.popleft()
        task = self._run(partial(self._make, recording), partial(self._take_made, recording))
        which = f" {recording + 1}" if len(self._case.recordings) > 1 else ""
        self.began.emit(task, f"Review copy{which}")

    # --- beside the window --------------------------------------------------------------------------------

    def _look(self, progress: Progress) -> dict[int, ReviewCopy]:
        found = {}
        for number in range(len(self._case.recordings)):
            progress(number, len(self._case.recordings))
            index = self._frames.index(number)
            copy = self._cache.kept(self._contents[number], index) if index is not None else None
            if copy is not None:
                found[number] = copy
        return found

    def _make(self, number: int, progress: Progress) -> ReviewCopy | str:
        """The copy, or why there can be none: no fault of the user's, and nothing that stops the work."""
        path, index = self._paths[number], self._frames.index(number)
        if path is None or index is None:
            return f"The frames of recording {number + 1} are unknown, so it has no review copy"
        try:
            return self._cache.make(path, self._contents[number], index, progress)
        except MediaError as error:
            return str(error)
