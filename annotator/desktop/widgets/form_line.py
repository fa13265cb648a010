"""A one-line field of a form that knows whose text it holds, and gives the keys back when it is done with."""

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from annotator.desktop.widgets.controls import LineEdit

Put = Callable[[str, str], bool]
"""Puts in what was typed for an owner; returns whether it could."""

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


def is_enter(event: QKeyEvent) -> bool:
    return event.key() in _ENTER


class Field(Protocol):
    """A widget that text is typed in."""

    def typed(self) -> str: ...

    def is_typed_in(self) -> bool:
        """Whether the user has changed the text since it was shown."""

    def mark_typed_in(self, typed: bool, /) -> None: ...

    def show_text(self, text: str, /) -> None:
        """Show a text that nobody has typed in yet."""

    def clearFocus(self) -> None: ...

    def selectAll(self) -> None: ...


class OwnedText:
    """Whose text a field holds, what that was, and where what is typed goes."""

    def __init__(self, field: Field, put: Put) -> None:
        self._field = field
        self._put = put
        self._owner = ""
        self._known = ""

    def show_of(self, owner: str, text: str) -> None:
        """Show an owner's text. What is being typed stays; that of another owner goes there first."""
        field = self._field
        if owner == self._owner:
            self._known = text
            if not field.is_typed_in():
                field.show_text(text)
            return
        before, typed = self._owner, field.typed() if field.is_typed_in() else None
        self._owner, self._known = owner, text
        field.show_text(text)
        if typed is not None:
            self._put(before, typed)

    def take(self) -> None:
        """Put in what was typed and give the keys back; what is refused stays to be mended."""
        if self._finish():
            self._field.clearFocus()

    def go_back(self) -> None:
        """Show the old text again and give the keys back."""
        self._field.show_text(self._known)
        self._field.clearFocus()

    def leave(self, event: QFocusEvent) -> None:
        """The keys go to something else."""
        if event.reason() is not Qt.FocusReason.PopupFocusReason and not self._finish():
            self._field.show_text(self._known)

    def _finish(self) -> bool:
        """Put in what was typed; returns whether nothing is left to be mended."""
        if not self._field.is_typed_in():
            return True
        self._field.mark_typed_in(False)
        done = self._put(self._owner, self._field.typed())
        if not done:
            self._field.mark_typed_in(True)
            self._field.selectAll()
        return done


class FormLine(LineEdit):
    """Return or leaving puts the text in, Escape brings the old one back; what is refused stays to be mended."""

    def __init__(self, name: str, put: Put, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._owned = OwnedText(self, put)

    def show_of(self, owner: str, text: str) -> None:
        """Show an owner's text. What is being typed stays; that of another owner goes there first."""
        self._owned.show_of(owner, text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._owned.go_back()
            return
        super().keyPressEvent(event)
        if is_enter(event):
            self._owned.take()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._owned.leave(event)

    def typed(self) -> str:
        return self.text()

    def is_typed_in(self) -> bool:
        return self.isModified()

    def mark_typed_in(self, typed: bool) -> None:
        self.setModified(typed)

    def show_text(self, text: str) -> None:
        self.setText(text)
        self.setCursorPosition(0)
