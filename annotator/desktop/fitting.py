"""A window that lies within its screen, frame included, also one whose place was kept on another screen."""

from PySide6.QtCore import QRect
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
