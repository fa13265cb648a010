"""A scrolling area that is as high as what it holds where there is room, and scrolls where there is not."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QWidget


class FittingScroll(QScrollArea):
    def __init__(self, inside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = inside
        self.setWidget(inside)

    def sizeHint(self) -> QSize:
        inside = self._inside
        width = self.viewport().width()
        height = inside.heightForWidth(width) if inside.hasHeightForWidth() else inside.sizeHint().height()
        return QSize(inside.sizeHint().width(), max(height, 0))

    def minimumSizeHint(self) -> QSize:
        return QSize(0, min(self.sizeHint().height(), 120))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self._inside and event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().eventFilter(watched, event)
