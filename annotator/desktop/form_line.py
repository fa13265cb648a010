"""A one-line field of a form that knows whose text it holds, and gives the keys back when it is done with."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

Put = Callable[[str, str], bool]
"""Puts in what was typed for an owner; returns whether it could."""

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class FormLine(QLineEdit):
    """Return or leaving puts the text in, Escape brings the old one back; what is refused stays to be mended."""

    def __init__(self, name: str, put: Put, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setProperty("dense", True)
        self._put = put
        self._owner = ""
        self._known = ""
        self.editingFinished.connect(self._finish)

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
        if event.key() in _ENTER and not self.isModified():
            self.clearFocus()

    def _show(self, text: str) -> None:
        self.setText(text)
        self.setCursorPosition(0)

    def _finish(self) -> None:
        if not self.isModified():
            return
        self.setModified(False)
        if self._put(self._owner, self.text()):
            return
        if self.hasFocus():
            self.setModified(True)
            self.selectAll()
        else:
            self._show(self._known)
