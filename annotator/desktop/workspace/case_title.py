"""The title of the case: edited in place, and cut with an ellipsis if it does not fit."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QStyle, QStyleOptionFrame

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.form_line import FormLine, Put
from annotator.model.case import UNTITLED

_LEAST = 30 * UNIT
_AROUND = 6 * UNIT
"""Pixels beside the words: the field's own, and as much as lets a cursor stand at their end."""

_BESIDE = 2
"""Pixels that a line of text keeps free within the field's padding; Qt's own, and nowhere to be asked for."""


class CaseTitle(FormLine):
    """As wide as its words where there is room."""

    def __init__(self, put: Put) -> None:
        super().__init__("Title of the case", put)
        self.setProperty("kind", "title")
        self.setPlaceholderText(UNTITLED)
        self.setMaxLength(200)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.textChanged.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        words = self.fontMetrics().horizontalAdvance(self.text() or self.placeholderText())
        return QSize(max(words + _AROUND, _LEAST), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(_LEAST, super().minimumSizeHint().height())

    @property
    def shown(self) -> str:
        """What of the title can be read now."""
        room = self._room().width() - 2 * _BESIDE
        return self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Qt cuts a line wherever its field ends, in the middle of a letter; while it is typed in, that is right."""
        if self.hasFocus() or self.shown == self.text():
            super().paintEvent(event)
            return
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        painter = QPainter(self)
        self.style().drawPrimitive(QStyle.PrimitiveElement.PE_PanelLineEdit, option, painter, self)
        painter.setPen(option.palette.text().color())
        area = self._room().adjusted(_BESIDE, 0, -_BESIDE, 0)
        painter.drawText(area, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, self.shown)
        painter.end()

    def _room(self) -> QRect:
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        return self.style().subElementRect(QStyle.SubElement.SE_LineEditContents, option, self)
