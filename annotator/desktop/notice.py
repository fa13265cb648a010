"""A line below the top bar for a state that lasts: read only, recording missing, recovered, no sound."""

from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from annotator.desktop.controls import label
from annotator.desktop.icons import Icon, icon
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT


class Notices(QFrame):
    """Shows each state as a sign and a sentence; hidden while there is none."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("kind", "bar")
        self.setProperty("edge", "bottom")
        self._theme = theme
        self._shown: list[tuple[Icon, QLabel]] = []
        self.texts: list[str] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(4 * UNIT, UNIT, 4 * UNIT, UNIT)
        self._column.setSpacing(0)
        self.hide()
        theme.changed.connect(self._paint_icons)

    def add(self, sign: Icon, says: str) -> None:
        row = QHBoxLayout()
        row.setSpacing(2 * UNIT)
        mark, words = QLabel(), label(says)
        words.setWordWrap(True)
        row.addWidget(mark)
        row.addWidget(words, 1)
        words.setMinimumHeight(7 * UNIT)
        self._column.addLayout(row)
        self._shown.append((sign, mark))
        self.texts.append(says)
        self._paint_icons()
        self.show()

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for sign, mark in self._shown:
            mark.setPixmap(icon(sign, colours, on=colours.warning).pixmap(16, 16))
