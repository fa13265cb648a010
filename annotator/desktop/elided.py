"""A label of one line that is cut with an ellipsis where it does not fit, so that it pushes nothing aside."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QSizePolicy

from annotator.desktop.controls import plain_tip


class ElidedLabel(QLabel):
    """The tip has all of the text."""

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
        middle = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        role = self.foregroundRole()
        self.style().drawItemText(painter, self.rect(), int(middle), self.palette(), self.isEnabled(), fitting, role)
        painter.end()
