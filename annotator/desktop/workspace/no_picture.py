"""What is shown in place of the picture if there is none: a sign, why, and what can be done."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from annotator.desktop.theme import typeface
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import LARGE_SIZE, PICTURE_MUTED, PICTURE_TEXT, UNIT
from annotator.desktop.widgets.controls import button

_WIDEST = 460


class NoPicture(QWidget):
    """Lies over the picture; hidden while there are no words."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._says = ""
        self._sign = Icon.MISSING
        self._mark = QLabel()
        self._mark.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._words = QLabel()
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setWordWrap(True)
        self._words.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        self._words.setFont(typeface.text(LARGE_SIZE))
        self._words.setStyleSheet(f"color: {PICTURE_TEXT}; font-size: {LARGE_SIZE}px;")
        self._words.setFixedWidth(_WIDEST)
        self._offers: Sequence[QAction] = ()
        self._buttons = QHBoxLayout()
        self._buttons.setSpacing(2 * UNIT)
        column = QVBoxLayout(self)
        column.setSpacing(4 * UNIT)
        column.addStretch(1)
        column.addWidget(self._mark)
        column.addWidget(self._words, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addLayout(self._buttons)
        column.addStretch(1)
        theme.changed.connect(self._paint_icon)
        self.hide()

    @property
    def words(self) -> str:
        """Why there is no picture; empty while there is one."""
        return self._says

    def show_words(self, says: str, sign: Icon = Icon.MISSING, offers: Sequence[QAction] = ()) -> None:
        """Say why there is no picture, with a button for each action that may help; empty for nothing.

        The first line is a name, which is cut in the middle where it is too long.
        """
        name, *rest = says.split("\n")
        fitting = self._words.fontMetrics().elidedText(name, Qt.TextElideMode.ElideMiddle, _WIDEST)
        self._words.setText("\n".join([fitting, *rest]))
        self._says = says
        self._sign = sign
        self._paint_icon()
        if list(offers) != list(self._offers):
            self._offers = offers
            self._make_buttons()
        self.setVisible(bool(says))

    def _make_buttons(self) -> None:
        while (item := self._buttons.takeAt(0)) is not None:
            if (old := item.widget()) is not None:
                old.hide()
                old.deleteLater()
        self._buttons.addStretch(1)
        for offer in self._offers:
            self._buttons.addWidget(button(offer))
        self._buttons.addStretch(1)

    def _paint_icon(self) -> None:
        self._mark.setPixmap(icon(self._sign, self._theme.colours, on=PICTURE_MUTED).pixmap(48, 48))
