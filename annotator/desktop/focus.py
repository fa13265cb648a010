"""Keys do nothing while a text field has the focus, and the window shows which field it is."""

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)

_TEXT = (QLineEdit, QPlainTextEdit, QAbstractSpinBox)


class FocusWatch(QObject):
    """changed  the name of the text field that takes the keys, empty for none; and whether a button takes Space"""

    changed = Signal(str, bool)

    def __init__(self, app: QApplication, parent: QObject) -> None:
        super().__init__(parent)
        app.focusChanged.connect(self._look)

    def _look(self, _old: QWidget | None, now: QWidget | None) -> None:
        typing = now.accessibleName() or "a field" if isinstance(now, _TEXT) else ""
        self.changed.emit(typing, isinstance(now, QAbstractButton | QComboBox))
