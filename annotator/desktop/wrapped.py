"""A label of several lines that asks for all the room they need, also deep inside a form that scrolls."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel


class Wrapped(QLabel):
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
        self.setMinimumHeight(max(self.heightForWidth(self.width()), 0))
