"""The retina chart large, over the picture: every field is easy to hit."""

from PySide6.QtCore import QEvent, QObject, QPoint, QSize, Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.retina.chart import RetinaChart
from annotator.desktop.retina.chart_options import ChartOptions
from annotator.desktop.retina.shape import LARGE
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ICON_BUTTON, SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, label


class LargeChart(QFrame):
    """Stands beside the side panel until it is closed, so that one tag after the other can be given its place.

    shown  it was opened, or put away
    """

    shown = Signal()

    def __init__(self, theme: Theme, over: QWidget) -> None:
        super().__init__(over)
        self.hide()
        self._over = over
        self._theme = theme
        self.setProperty("kind", "sheet")
        self.setAccessibleName("Large retina chart")
        self.chart = RetinaChart(theme, LARGE)
        self.options = ChartOptions(QBoxLayout.Direction.LeftToRight)
        self.words = label("", "second")
        self.words.setWordWrap(True)
        self._close = PushButton()
        self._close.setAccessibleName("Close the large retina chart")
        self._close.setProperty("rank", "quiet")
        self._close.setFixedWidth(ICON_BUTTON)
        self._close.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self._close.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        head = QHBoxLayout()
        head.setSpacing(4 * UNIT)
        head.addWidget(label("Place", "title"))
        head.addWidget(self.options, 1)
        head.addWidget(self._close)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 2 * UNIT, 2 * UNIT, 3 * UNIT)
        column.setSpacing(UNIT)
        column.addLayout(head)
        column.addWidget(self.chart)
        column.addWidget(self.words)
        self._close.clicked.connect(self.put_away)
        self.chart.left.connect(self.put_away)
        theme.changed.connect(self._paint_icon)
        self._paint_icon()

    def open_beside(self, panel: QWidget) -> None:
        """Show it to the left of a panel, level with its foot and staying there, and give it the keys."""
        self.adjustSize()
        panel.installEventFilter(self)
        self._stand_beside(panel)
        self.show()
        self.shown.emit()
        self.raise_()
        self.chart.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Move) and isinstance(watched, QWidget):
            self._stand_beside(watched)
        return False

    def _stand_beside(self, panel: QWidget) -> None:
        foot = panel.mapTo(self._over, QPoint(-2 * UNIT, panel.height()))
        self.move(foot - QPoint(self.width(), self.height()))

    def put_away(self) -> None:
        """Hide it; the keys go back to the window."""
        focused = self.focusWidget()
        if focused is not None:
            focused.clearFocus()
        if not self.isHidden():
            self.hide()
            self.shown.emit()

    def _paint_icon(self) -> None:
        self._close.setIcon(icon(Icon.CLOSE, self._theme.colours))
