"""A one-line field of a form that knows whose text it holds, and gives the keys back when it is done with."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from annotator.desktop.widgets.controls import LineEdit

Put = Callable[[str, str], bool]
"""Puts in what was typed for an owner; returns whether it could."""

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class FormLine(LineEdit):
    """Return or leaving puts the text in, Escape brings the old one back; what is refused stays to be mended."""

    def __init__(self, name: str, put: Put, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._put = put
        self._owner = ""
        self._known = ""

    def show_of(self, owner: str, text: str) -> None:
        """Show an owner's text. What is being typed stays; that of another owner goes there first."""
        if owner == self._owner:
            self._known = text
            if not self.isModified():
                self._show(text)
            return
        before, typed = self._owner, self.text() if self.isModified() else None
        self._owner, self._known = owner, text
        self._show(text)
        if typed is not None:
            self._put(before, typed)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._show(self._known)
            self.clearFocus()
            return
        super().keyPressEvent(event)
        if event.key() in _ENTER and self._finish():
            self.clearFocus()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() is not Qt.FocusReason.PopupFocusReason and not self._finish():
            self._show(self._known)

    def _show(self, text: str) -> None:
        self.setText(text)
        self.setCursorPosition(0)

    def _finish(self) -> bool:
        """Put in what was typed; returns whether nothing is left to be mended."""
        if not self.isModified():
            return True
        self.setModified(False)
        done = self._put(self._owner, self.text())
        if not done:
            self.setModified(True)
            self.selectAll()
        return done
