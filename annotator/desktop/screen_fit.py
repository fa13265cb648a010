"""Keeps the window within its screen, frame included, also if its place was saved on another screen."""

from functools import partial

from PySide6.QtCore import QEvent, QObject, QRect, QTimer
from PySide6.QtWidgets import QWidget


def fitted(frame: QRect, free: QRect) -> QRect:
    """The frame made no larger than the free area and moved into it, no further than need be."""
    size = frame.size().boundedTo(free.size())
    left = min(max(frame.left(), free.left()), free.right() + 1 - size.width())
    top = min(max(frame.top(), free.top()), free.bottom() + 1 - size.height())
    return QRect(left, top, size.width(), size.height())


def fit(window: QWidget) -> None:
    """Move and shrink a window that is shown so that all of it is seen. One that fills its screen stays as it is."""
    if window.isMaximized() or window.isFullScreen():
        return
    frame, inside = window.frameGeometry(), window.geometry()
    fits = fitted(frame, window.screen().availableGeometry())
    if fits != frame:
        room = fits.size() - (frame.size() - inside.size())
        window.resize(room)
        window.move(fits.topLeft())


class ScreenFit(QObject):
    """Fits a window that is about to be shown, and again once the system has put its frame around it.

    Windows and macOS do that at once; a window manager of X11 does it a moment later, and moves the window for it.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        window.installEventFilter(self)
        self._fit_soon()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        has_moved = event.type() in (QEvent.Type.Move, QEvent.Type.Resize)
        if has_moved and self._window.frameGeometry() != self._window.geometry():
            self._window.removeEventFilter(self)
            self._fit_soon()
        return False

    def _fit_soon(self) -> None:
        QTimer.singleShot(0, self._window, partial(fit, self._window))
