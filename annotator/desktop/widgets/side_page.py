"""A page in the place of the tag list, with a heading and a way back."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import CloseButton, label


class SidePage(QWidget):
    """closed  the user wants the tag list back"""

    closed = Signal()

    def __init__(self, heading: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(heading)
        close = CloseButton(f"Close {heading.lower()}", theme)
        close.clicked.connect(self.closed)
        self._head = head = QHBoxLayout()
        head.setContentsMargins(4 * UNIT, 2 * UNIT, 2 * UNIT, 0)
        head.setSpacing(2 * UNIT)
        head.addWidget(label(heading, "title"))
        head.addStretch(1)
        head.addWidget(close)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(2 * UNIT)
        self.column.addLayout(head)

    def add_to_head(self, control: QWidget) -> None:
        """Put a control before the one that closes."""
        self._head.insertWidget(self._head.count() - 1, control)
