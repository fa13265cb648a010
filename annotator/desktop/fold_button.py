"""A small button at the head of a panel that folds it."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QToolButton

from annotator.desktop.controls import keep_tip
from annotator.desktop.icons import Icon, icon
from annotator.desktop.theme import Theme


class FoldButton(QToolButton):
    """Does what the action does; its arrow points to where the panel goes."""

    def __init__(self, action: QAction, name: str, arrow: Icon, theme: Theme) -> None:
        super().__init__()
        self._arrow = arrow
        self._theme = theme
        self.setAccessibleName(name)
        keep_tip(self, action)
        self.setProperty("rank", "quiet")
        self.setProperty("dense", True)
        self.setFixedWidth(28)
        self.setIconSize(QSize(14, 14))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(action.trigger)
        theme.changed.connect(self._paint_arrow)
        self._paint_arrow()

    def _paint_arrow(self) -> None:
        colours = self._theme.colours
        self.setIcon(icon(self._arrow, colours, on=colours.muted))
