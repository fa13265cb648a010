"""Lists whose lines are higher the narrower they are."""

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView


class LineWrap(QObject):
    """Lays a list out anew for another width; Qt itself does so for another height only, or before it has the width."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        view.viewport().installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QResizeEvent) and event.size().width() != event.oldSize().width():
            self._view.scheduleDelayedItemsLayout()
        return False
