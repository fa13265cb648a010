"""A field that filters a list by its words: Escape clears it and gives the keys back."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QWidget

from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.controls import LineEdit, let_clear


class FilterField(LineEdit):
    def __init__(self, name: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setPlaceholderText(f"{name}…")
        self.setAccessibleName(name)
        let_clear(self, theme)
        leave = QAction(self)
        leave.setShortcut("Escape")
        leave.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        leave.triggered.connect(self.leave)
        self.addAction(leave)

    def leave(self) -> None:
        self.clear()
        self.clearFocus()
