"""Changes on their way to the disk: those it refuses are reported, wait in order, and are tried again."""

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from annotator.desktop.tasks.task import Task
from annotator.durable import why
from annotator.errors import AnnotatorError, CaseBusy, ChangedOutside, NotSaved, StoreError
from annotator.store.session import Session

Attempt = Callable[[], object]
"""A change; raises an AnnotatorError where it is refused.

It may wait, so what it depends on belongs into it as it was when it was asked for: the frame on screen, above all.
Which tag is under way there is asked when it is made, as what waits before it may be a tag.
"""

_UNSETTLED = "Not saved yet: decide above which version of the case counts"


class RetryQueue(QObject):
    """Puts changes through the gate, one after the other: nothing is made before what was asked for earlier.

    said       a line for the user, and whether it is a warning
    stuck      why the disk does not take what is done; empty once it does again
    kept_open  why the case was not closed: what would be lost
    overtaken  carries the ChangedOutside where another program has changed the case's file; None once that is settled
    saved      the case stands in its file, as `save` was to bring about
    """

    said = Signal(str, bool)
    stuck = Signal(str)
    kept_open = Signal(str)
    overtaken = Signal(object)
    saved = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._waiting: deque[Attempt] = deque()
        self._refused: StoreError | None = None
        self._behind: StoreError | None = None
        self._saving: Task | None = None
        self._is_asked_again = False
        self._is_given_up = False
        self._told: tuple[str, ChangedOutside | None] = ("", None)

    @property
    def is_stuck(self) -> bool:
        """Whether something waits for the disk."""
        return bool(self._told[0])

    @property
    def is_overtaken(self) -> bool:
        """Whether it is to be settled which version of the case counts."""
        return self._told[1] is not None

    @property
    def is_gone(self) -> bool:
        """Whether there is no other version, as the file is no longer there."""
        return self._told[1] is not None and self._told[1].is_gone

    @property
    def is_saving(self) -> bool:
        """Whether the case's file is being written."""
        return self._saving is not None

    @property
    def waiting(self) -> int:
        """How many changes are not kept yet."""
        return len(self._waiting)

    def make(self, attempt: Attempt) -> bool:
        """Try something, after the changes that wait; where it is refused that is said, and nothing has changed."""
        self._is_given_up = False  # the case went on, and this is not what was given up
        self._waiting.append(attempt)
        return self._make_waiting()

    def make_now(self, attempt: Attempt) -> bool:
        """Try something that can't wait, after the changes that do; where it is refused that is said, and is all."""
        if not self._make_waiting():
            return False
        try:
            attempt()
        except AnnotatorError as error:
            self.said.emit(str(error) if isinstance(error, StoreError) else _nothing_changed(error), True)
            return False
        return True

    def save(self) -> None:
        """Write the case's file, after the changes that wait, in a thread of its own: what comes of it is told then.

        Meanwhile the case may be changed; all of it is in the journal. What is asked for meanwhile follows.
        """
        if not self._make_waiting():
            return
        if self._saving is not None:
            self._is_asked_again = True
            return
        try:
            saving = self._session.begin_saving()
        except StoreError as error:
            self._take_in(error)
            return
        if saving is None:
            self._take_in(None)
            self.saved.emit()
            return
        self._saving = task = Task(lambda _: saving.write(), self)
        task.done.connect(self._end_saving)
        task.failed.connect(self._end_saving)
        task.start()

    def wait_until_saved(self) -> None:
        """Until no save is under way; nothing of Qt's may be taken away before. What comes of it is not said."""
        if self._saving is None:
            return
        self._saving.wait()
        self._saving.deleteLater()
        self._saving = None
        try:
            self._session.end_saving()
            self._behind = None
        except StoreError as error:
            self._behind = error

    def take_over(self, before: "RetryQueue") -> None:
        """Go on with what waits for the same case, which is shown anew."""
        before.wait_until_saved()
        self._waiting, self._refused, self._behind = before._waiting, before._refused, before._behind
        self._tell()

    def try_again(self) -> bool:
        """Try what waits, oldest first, until the disk refuses again. Returns whether all of it is kept."""
        return self._make_waiting() and (self._behind is None or self._save())

    def finish(self) -> bool:
        """Keep everything, as the case is to be closed. Where something would be lost, that is told: False.

        A save that the disk refuses loses nothing: every change is beside the case's file. Nor does one for which
        another process has taken the case over: it has taken in what was there.
        """
        if self._session.read_only or self._session.is_closed or self._is_given_up:
            return True
        self.wait_until_saved()
        if (self._waiting or not self._session.is_saved) and self._make_waiting():
            self._save()
        error = self._refused or self._behind
        is_safe = error is None or self._session.is_saved or isinstance(error, (NotSaved, CaseBusy))
        if is_safe and not self._waiting:
            return True
        if error is not None and not self.is_overtaken:
            what, they = _counted(self.waiting)
            self.kept_open.emit(f"{what} not saved yet: {_reason(error)}. Closing now would lose {they}.")
        return False

    def look(self) -> None:
        """Notice what other programs have done to the case's file meanwhile."""
        try:
            self._session.look()
            if self.is_overtaken and self._session.is_saved:  # and then put back what was there
                self._behind = None
        except ChangedOutside as error:
            self._behind = error
        except StoreError:
            return  # what stands in the way is said when the case is saved
        self._tell()

    def drop(self) -> None:
        """Give up the changes that wait, and close whether the case can be saved or not."""
        self._is_given_up = True
        self._waiting.clear()
        self._refused = None
        self._tell()

    def _make_waiting(self) -> bool:
        """Returns whether the last of it was made, so that nothing waits."""
        made = True
        while self._waiting:
            attempt, made = self._waiting.popleft(), False
            try:
                attempt()
                made = True
            except StoreError as error:
                waits = not self._session.read_only
                self.said.emit(_waiting_for(error) if waits else str(error), True)
                if waits:
                    self._waiting.appendleft(attempt)
                    self._refused = error
                    self._tell()
                    return False
            except AnnotatorError as error:
                self.said.emit(_nothing_changed(error), True)
        self._refused = None
        self._tell()
        return made

    def _save(self) -> bool:
        try:
            self._session.save()
        except StoreError as error:
            self._take_in(error)
            return False
        self._take_in(None)
        return True

    def _end_saving(self) -> None:
        if self.sender() is not self._saving:
            return  # it was waited for
        self.wait_until_saved()
        self._take_in(self._behind)
        if self._behind is None and not self._is_asked_again:
            self.saved.emit()
        elif self._is_asked_again:
            self._is_asked_again = False
            self.save()

    def _take_in(self, error: StoreError | None) -> None:
        """What has come of a save."""
        if error is not None:
            self.said.emit(_UNSETTLED if isinstance(error, ChangedOutside) else str(error), True)
        self._behind = error
        self._tell()

    def _tell(self) -> None:
        """Say what is so now, where it was not so before."""
        error = self._refused or self._behind
        by = next((one for one in (self._refused, self._behind) if isinstance(one, ChangedOutside)), None)
        before, self._told = self._told, ("" if by is not None or error is None else self._says(error), by)
        if self._told != before:
            self.stuck.emit(self._told[0])
            self.overtaken.emit(by)

    def _says(self, error: StoreError) -> str:
        if isinstance(error, NotSaved) and not self._waiting:
            return f"The case’s file is out of date: {_reason(error)}. Every change is safe beside it."
        what, they = _counted(self.waiting)
        safe = f" Everything before {they} is safe." if self._waiting else ""
        return f"{what} not saved yet: {_reason(error)}.{safe}"


def _nothing_changed(error: AnnotatorError) -> str:
    return f"Nothing was changed. {error}"


def _counted(changes: int) -> tuple[str, str]:
    """None waits where the case itself can't be saved, and is whole nowhere else."""
    if not changes:
        return "Your changes are", "them"
    return ("The last change is", "it") if changes == 1 else (f"The last {changes} changes are", "them")


def _waiting_for(error: StoreError) -> str:
    """Why a change waits, in a line."""
    return str(error) if isinstance(error, ChangedOutside) else f"Not saved yet; trying again later: {_reason(error)}"


def _reason(error: BaseException) -> str:
    """What the disk said, without the names of files that nobody asked for."""
    while error.__cause__ is not None:
        error = error.__cause__
    return why(error) if isinstance(error, OSError) else str(error)
