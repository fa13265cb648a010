"""Small shapes that several views paint."""

from math import floor

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPen, QPolygonF

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import Colours

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def write(painter: QPainter, area: QRect, text: str, colour: str, align: Qt.AlignmentFlag = _LEFT) -> None:
    """One line of text, cut with an ellipsis where it does not fit."""
    painter.setPen(QColor(colour))
    fitting = QFontMetrics(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, area.width())
    painter.drawText(area, align, fitting)


def cap_width(key: str) -> int:
    """Pixels that a key's cap needs."""
    return QFontMetrics(typeface.clock(12)).horizontalAdvance(key) + 10


def crisp(x: float) -> float:
    """Where a line one pixel wide is drawn so that it fills that pixel and not half of two."""
    return floor(x) + 0.5


def key_cap(painter: QPainter, area: QRect, key: str, colours: Colours, *, pointed: bool = False) -> None:
    """A key as it looks on a keyboard, or with the pointer over it; nothing for a row without one."""
    if not key:
        return
    painter.setPen(QPen(QColor(colours.accent if pointed else colours.line), 1))
    painter.setBrush(QColor(colours.raised))
    painter.drawRoundedRect(QRectF(area).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
    painter.setFont(typeface.clock(12))
    write(painter, area, key, colours.text if pointed else colours.muted, Qt.AlignmentFlag.AlignCenter)


def dot(painter: QPainter, x: int, y: int, colour: str, radius: float = 4) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    painter.drawEllipse(QPointF(x, y), radius, radius)


def diamond(painter: QPainter, x: float, y: float, colour: str, radius: float = 5) -> None:
    """The mark of a moment."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colour))
    points = [QPointF(x, y - radius), QPointF(x + radius, y), QPointF(x, y + radius), QPointF(x - radius, y)]
    painter.drawPolygon(QPolygonF(points))


def focus_ring(painter: QPainter, area: QRect, colours: Colours) -> None:
    painter.setPen(QPen(QColor(colours.accent), 2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(QRectF(area).adjusted(1, 1, -1, -1), 4, 4)
