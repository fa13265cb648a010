"""Whether somebody has just scrolled a list, so that it is not carried away under their eyes."""

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QAbstractScrollArea

_READS_FOR = 6_000
"""Milliseconds after the last scrolling."""


class Reader(QObject):
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
