"""What can be undone, and done again."""

from typing import NamedTuple

from annotator.errors import InvalidEdit
from annotator.model.delta import Delta


class Done(NamedTuple):
    """A change that was made: a line for the user, and how to make it again and take it back."""

    says: str
    forward: Delta
    backward: Delta


class History:
    """Two stacks: a change that is taken back goes from the one to the other, and a new one empties that."""

    def __init__(self) -> None:
        self._done: list[Done] = []
        self._undone: list[Done] = []

    @property
    def undoes(self) -> str | None:
        """The line of the change that would be taken back; None for none."""
        return self._done[-1].says if self._done else None

    @property
    def redoes(self) -> str | None:
        """The line of the change that would be made again; None for none."""
        return self._undone[-1].says if self._undone else None

    def add(self, done: Done) -> None:
        self._done.append(done)
        self._undone.clear()

    def to_undo(self) -> Done:
        """Raises InvalidEdit where there is nothing."""
        if not self._done:
            raise InvalidEdit("There is nothing to undo")
        return self._done[-1]

    def to_redo(self) -> Done:
        """Raises InvalidEdit where there is nothing."""
        if not self._undone:
            raise InvalidEdit("There is nothing to redo")
        return self._undone[-1]

    def undone(self) -> None:
        """The last change was taken back."""
        self._undone.append(self._done.pop())

    def redone(self) -> None:
        """It was made again."""
        self._done.append(self._undone.pop())
