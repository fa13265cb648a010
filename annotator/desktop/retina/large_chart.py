"""The retina chart large, over the picture: every field is easy to hit."""

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QFrame, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.retina.chart import RetinaChart
from annotator.desktop.retina.chart_options import ChartOptions
from annotator.desktop.retina.shape import LARGE
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import CloseButton, label


class LargeChart(QFrame):
    """Stands beside the side panel until it is closed, so that one tag after the other can be given its place.

    shown  it was opened, or put away
    """

    shown = Signal()

    def __init__(self, theme: Theme, over: QWidget) -> None:
        super().__init__(over)
        self.hide()
        self._over = over
        self.setProperty("kind", "sheet")
        self.setAccessibleName("Large retina chart")
        self.chart = RetinaChart(theme, LARGE)
        self.options = ChartOptions(QBoxLayout.Direction.LeftToRight)
        self.words = label("", "second")
        self.words.setWordWrap(True)
        close = CloseButton("Close the large retina chart", theme)
        close.clicked.connect(self.put_away)
        head = QHBoxLayout()
        head.setSpacing(4 * UNIT)
        head.addWidget(label("Place", "title"))
        head.addWidget(self.options, 1)
        head.addWidget(close)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 2 * UNIT, 2 * UNIT, 3 * UNIT)
        column.setSpacing(UNIT)
        column.addLayout(head)
        column.addWidget(self.chart)
        column.addWidget(self.words)
        self.chart.left.connect(self.put_away)

    def open_beside(self, panel: QWidget) -> None:
        """Show it to the left of a panel, level with its foot or, if it is higher, its head; give it the keys."""
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
        head = panel.mapTo(self._over, QPoint(-2 * UNIT, 0))
        self.move(head.x() - self.width(), head.y() + max(panel.height() - self.height(), 0))

    def put_away(self) -> None:
        """Hide it; the keys go back to the window."""
        focused = self.focusWidget()
        if focused is not None:
            focused.clearFocus()
        if not self.isHidden():
            self.hide()
            self.shown.emit()
