"""Small shapes that several views paint."""

from math import floor

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF, QTextLayout, QTextOption
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import SMALL_CORNER, SMALL_SIZE, Colours

_MARK = 3
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def write(painter: QPainter, area: QRect, text: str, colour: str, align: Qt.AlignmentFlag = _LEFT) -> None:
    """One line of text, cut with an ellipsis where it does not fit."""
    painter.setPen(QColor(colour))
    fitting = QFontMetrics(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, area.width())
    painter.drawText(area, align, fitting)


def lines_of(text: str, font: QFont, width: int) -> list[str]:
    """A text in lines of at most a width in pixels, between words or, where one is too long, within it."""
    if QFontMetrics(font).horizontalAdvance(text) <= width:
        return [text]
    layout, lines = QTextLayout(text, font), []
    wraps = QTextOption()
    wraps.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(wraps)
    layout.beginLayout()
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        lines.append(text[line.textStart() : line.textStart() + line.textLength()].strip())
    layout.endLayout()
    return lines


def write_lines(painter: QPainter, area: QRect, text: str, colour: str) -> None:
    """A text in as many lines as it takes, in the middle of an area; what has no room at its end is cut."""
    spacing = QFontMetrics(painter.font()).lineSpacing()
    lines = lines_of(text, painter.font(), area.width())
    most = max(area.height() // spacing, 1)
    if len(lines) > most:
        lines[most - 1 :] = [" ".join(lines[most - 1 :])]
    top = area.top() + (area.height() - len(lines) * spacing) // 2
    for number, line in enumerate(lines):
        write(painter, QRect(area.left(), top + number * spacing, area.width(), spacing), line, colour)


def cap_width(key: str) -> int:
    """Pixels that a key's cap needs."""
    return QFontMetrics(typeface.clock(SMALL_SIZE)).horizontalAdvance(key) + 10


def crisp(x: float) -> float:
    """Where a line one pixel wide is drawn so that it fills that pixel and not half of two."""
    return floor(x) + 0.5


def key_cap(painter: QPainter, area: QRect, key: str, colours: Colours, *, pointed: bool = False) -> None:
    """A key as it looks on a keyboard, or with the pointer over it; nothing for a row without one."""
    if not key:
        return
    painter.setPen(QPen(QColor(colours.accent if pointed else colours.line), 1))
    painter.setBrush(QColor(colours.raised))
    painter.drawRoundedRect(QRectF(area).adjusted(0.5, 0.5, -0.5, -0.5), SMALL_CORNER, SMALL_CORNER)
    painter.setFont(typeface.clock(SMALL_SIZE))
    write(painter, area, key, colours.text if pointed else colours.muted, Qt.AlignmentFlag.AlignCenter)


def row_ground(painter: QPainter, option: QStyleOptionViewItem, colours: Colours) -> None:
    """What a row of a list stands on: selected, with the pointer over it, or the list's own ground."""
    if option.state & QStyle.StateFlag.State_Selected:
        marked_ground(painter, option.rect, colours)
    elif option.state & QStyle.StateFlag.State_MouseOver:
        painter.fillRect(option.rect, QColor(colours.raised))


def marked_ground(painter: QPainter, area: QRect, colours: Colours) -> None:
    """A tint, and a bar at the left for whoever does not see it."""
    painter.fillRect(area, QColor(colours.accent_ground))
    painter.fillRect(QRect(area.left(), area.top(), _MARK, area.height()), QColor(colours.accent))


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
    painter.drawRoundedRect(QRectF(area).adjusted(1, 1, -1, -1), SMALL_CORNER, SMALL_CORNER)
