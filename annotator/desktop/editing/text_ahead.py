"""The text of a case of many tags, made bit by bit while it is looked at: the first save then has little to do."""

from PySide6.QtCore import QObject, QTimer

from annotator.formats.case.casefile import texts_of
from annotator.model.case import Case

_EVERY = 20
"""Milliseconds from one block of tags to the next, of which each takes a few."""


class TextAhead(QObject):
    """What is changed meanwhile is made text when the case is saved."""

    def __init__(self, case: Case, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._texts = texts_of(case)
        self._timer = QTimer(self, interval=_EVERY)
        self._timer.timeout.connect(self._go_on)
        self.is_done = False

    def start(self) -> None:
        if not self.is_done:
            self._timer.start()

    def _go_on(self) -> None:
        self.is_done = next(self._texts, None) is None
        if self.is_done:
            self._timer.stop()
