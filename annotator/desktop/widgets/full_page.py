"""A page that takes the whole window, with a heading and a way back."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import CloseButton, bar, label


class FullPage(QWidget):
    """closed  the user wants back what was there before"""

    closed = Signal()

    def __init__(self, heading: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "page")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setAccessibleName(heading)
        close = CloseButton(f"Close {heading.lower()}", theme)
        close.setToolTip(f"Close {heading.lower()} (Esc)")
        close.clicked.connect(self.closed)
        leave = QAction(self)
        leave.setShortcut("Escape")
        leave.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        leave.triggered.connect(self.closed)
        self.addAction(leave)
        head, row = bar("bottom")
        row.addWidget(label(heading, "title"))
        row.addStretch(1)
        row.addWidget(close)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)
        self.column.addWidget(head)

    def add_columns(self, *parts: QWidget) -> None:
        """Put parts beside one another, in the middle; the last one gets what room there is."""
        columns = QHBoxLayout()
        columns.setContentsMargins(6 * UNIT, 5 * UNIT, 6 * UNIT, 5 * UNIT)
        columns.setSpacing(6 * UNIT)
        columns.addStretch(1)
        for part in parts:
            columns.addWidget(part, 100 if part is parts[-1] else 0)
        columns.addStretch(1)
        self.column.addLayout(columns, 1)
