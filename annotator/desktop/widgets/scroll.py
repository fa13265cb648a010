"""Areas that scroll: one that is only as high as it must be, and a guard against moving a list that is being read."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QApplication,
    QFrame,
    QPlainTextEdit,
    QScrollArea,
    QSizePolicy,
    QWidget,
)

_READS_FOR = 6_000
"""Milliseconds after the last scrolling."""


class FittingScroll(QScrollArea):
    """As high as what it holds where there is room; scrolls where there is not."""

    def __init__(self, inside: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = inside
        # Soon, not at once: what it holds is laid out only when its new size has been dealt with.
        self._grown = QTimer(self, singleShot=True, interval=0)
        self._grown.timeout.connect(self._show_caret)
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
        if watched is self._inside and event.type() == QEvent.Type.Resize:
            self._grown.start()
        return super().eventFilter(watched, event)

    def _show_caret(self) -> None:
        """A text that grows while it is typed must not grow out of sight."""
        text = QApplication.focusWidget()
        if isinstance(text, QPlainTextEdit) and self._inside.isAncestorOf(text):
            caret = text.cursorRect()
            at = text.viewport().mapTo(self._inside, caret.center())
            self.ensureVisible(at.x(), at.y(), 0, caret.height())


class ScrollGuard(QObject):
    """Knows whether somebody has just scrolled a list, so that it is not carried away under their eyes."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._reads = QTimer(self, singleShot=True, interval=_READS_FOR)

    def watch(self, area: QAbstractScrollArea) -> None:
        """Notice the wheel, the bar and its keys; what the program scrolls itself does not count."""
        area.verticalScrollBar().actionTriggered.connect(self._note)

    @property
    def is_reading(self) -> bool:
        return self._reads.isActive()

    def _note(self, _action: int) -> None:
        self._reads.start()
