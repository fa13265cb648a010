"""Changes on their way to the disk: what it did not take is said, and can be tried once more."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from annotator.durable import why
from annotator.errors import AnnotatorError, StoreError
from annotator.store.session import Change, Session

Attempt = Callable[[], object]
"""A change, or the case being saved; raises an AnnotatorError where it is refused."""


class Attempts(QObject):
    """Puts changes through the gate and keeps those that the disk did not take, in their order.

    A step that began while the disk was full so still begins at the frame that was on screen then.

    said   a line for the user, and whether it is a warning
    stuck  why the disk does not take what is done; empty once it does again
    """

    said = Signal(str, bool)
    stuck = Signal(str)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._waiting: list[Attempt] = []
        self._is_stuck = False

    @property
    def is_stuck(self) -> bool:
        """Whether something waits for the disk."""
        return self._is_stuck

    def make(self, attempt: Attempt) -> bool:
        """Try something; where it is refused that is said, and nothing has changed."""
        try:
            done = attempt()
        except StoreError as error:
            if not self._session.read_only:
                self._keep(attempt, error)
            self.said.emit(str(error), True)
            return False
        except AnnotatorError as error:
            self.said.emit(f"Nothing was changed. {error}", True)
            return False
        if self._is_stuck and self._has_written(attempt, done):
            self._waiting.clear()
            self._is_stuck = False
            self.stuck.emit("")
        return True

    def try_again(self) -> None:
        """Try what the disk did not take, oldest first, until it refuses again."""
        waiting, self._waiting = self._waiting, []
        for number, attempt in enumerate(waiting):
            if not self.make(attempt) and self._waiting:
                self._waiting += waiting[number + 1 :]
                return
        if self._is_stuck:  # what waited is no longer possible
            self.make(self._session.save)

    def _keep(self, attempt: Attempt, error: StoreError) -> None:
        if attempt not in self._waiting:
            self._waiting.append(attempt)
        self._is_stuck = True
        if all(one == self._session.save for one in self._waiting):
            self.stuck.emit(f"The case’s file is behind: {_reason(error)}. Every change is safe beside it.")
        else:
            self.stuck.emit(f"The last change is not kept: {_reason(error)}. All before it is safe.")

    def _has_written(self, attempt: Attempt, done: object) -> bool:
        """Whether the disk has taken something: not where nothing was to be changed, nor to be saved."""
        if isinstance(done, Change):
            return done.after is not done.before
        return attempt in self._waiting or all(one == attempt for one in self._waiting)


def _reason(error: BaseException) -> str:
    """What the disk said, without the names of files that nobody asked for."""
    while error.__cause__ is not None:
        error = error.__cause__
    return why(error) if isinstance(error, OSError) else str(error)
