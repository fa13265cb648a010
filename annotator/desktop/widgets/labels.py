"""Labels that fit: one that is cut with an ellipsis, and one that takes all the lines it needs."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from annotator.desktop.widgets.controls import plain_tip


class ElidedLabel(QLabel):
    """One line that is cut where it does not fit, so that it pushes nothing aside. The tip has all of the text."""

    def __init__(self, kind: str = "", cut: Qt.TextElideMode = Qt.TextElideMode.ElideRight) -> None:
        super().__init__()
        self._cut = cut
        self.setProperty("kind", kind)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)

    def minimumSizeHint(self) -> QSize:
        return QSize(0, super().minimumSizeHint().height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        fitting = self.fontMetrics().elidedText(self.text(), self._cut, self.width())
        self.setToolTip(plain_tip(self.text()) if fitting != self.text() else "")
        painter = QPainter(self)
        middle = self.alignment() | Qt.AlignmentFlag.AlignVCenter
        role = self.foregroundRole()
        self.style().drawItemText(painter, self.rect(), int(middle), self.palette(), self.isEnabled(), fitting, role)
        painter.end()


class WrappedLabel(QLabel):
    """Plain text. A layout within a layout does not pass on how high a text gets that wraps; this tells by itself."""

    def __init__(self, kind: str = "second") -> None:
        super().__init__()
        self.setProperty("kind", kind)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)

    def say(self, text: str) -> None:
        """Show the text; an empty one takes no room."""
        self.setText(text)
        self.setVisible(bool(text))
        self._make_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._make_room()

    def _make_room(self) -> None:
        self.setMinimumHeight(0)  # or Qt would answer that it needs at least as much as before
        self.setMinimumHeight(max(self.heightForWidth(self.width()), 0))
