"""A field that takes the next key pressed, whatever it does elsewhere."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QKeySequenceEdit, QLineEdit, QWidget

from annotator.desktop.settings.key_changes import written


class KeyCatcher(QKeySequenceEdit):
    """One key ends it, so that nobody is caught in it; Tab goes on as everywhere.

    caught    the key, as the table of actions would write it
    given_up  by Escape
    left      the focus is elsewhere
    """

    caught = Signal(str)
    given_up = Signal()
    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMaximumSequenceLength(1)
        self.keySequenceChanged.connect(self._take)
        self._fields = self.findChildren(QLineEdit)
        for field in self._fields:
            field.setAccessibleName("New key")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def catch(self, whose: str) -> None:
        """Wait for a key for a command."""
        for part in (self, *self._fields):
            part.setAccessibleName(f"New key for {whose}")
        self.clear()
        for field in self._fields:  # `clear` has written Qt's own words there
            field.setPlaceholderText("Press a key…")
        self.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and event.modifiers() == Qt.KeyboardModifier.NoModifier:
            self.given_up.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.left.emit()

    def _take(self, sequence: QKeySequence) -> None:
        key = written(sequence)
        if key:
            self.caught.emit(key)
