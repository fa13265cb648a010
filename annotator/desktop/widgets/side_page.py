"""A page in the place of the tag list, with a heading and a way back."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ICON_BUTTON, SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, label


class SidePage(QWidget):
    """closed  the user wants the tag list back"""

    closed = Signal()

    def __init__(self, heading: str, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(heading)
        self._theme = theme
        self._close = PushButton()
        self._close.setAccessibleName(f"Close {heading.lower()}")
        self._close.setProperty("rank", "quiet")
        self._close.setFixedWidth(ICON_BUTTON)
        self._close.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._close.clicked.connect(self.closed)
        self._head = head = QHBoxLayout()
        head.setContentsMargins(4 * UNIT, 2 * UNIT, 2 * UNIT, 0)
        head.addWidget(label(heading, "title"))
        head.addStretch(1)
        head.addWidget(self._close)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(2 * UNIT)
        self.column.addLayout(head)
        theme.changed.connect(self._paint_icon)
        self._paint_icon()

    def add_to_head(self, control: QWidget) -> None:
        """Put a control before the one that closes."""
        self._head.insertWidget(self._head.count() - 1, control)

    def _paint_icon(self) -> None:
        self._close.setIcon(icon(Icon.CLOSE, self._theme.colours))
