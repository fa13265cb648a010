"""The whole case in miniature, above the timeline."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import crisp, write
from annotator.desktop.theme.tokens import BAND_CORNER
from annotator.desktop.timeline.lane import Look, extent
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.thinning import of_tags
from annotator.model.case import Case
from annotator.publish.report.phase_colours import phase_fills

_FLAG = 13
"""Pixels: the side of the square with a recording's number."""


class Overview:
    """The whole case in miniature, with the visible stretch framed."""

    name = "whole case"
    height = 20

    def __init__(self, case: Case) -> None:
        phases = phase_fills(case.vocabulary)
        self._tags = [(tag, phases[tag.concept]) for tag in case.tags if tag.concept in phases]
        self._extents = of_tags((tag, 0) for tag, _ in self._tags)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        colours = look.colours
        strip = area.adjusted(0, 5, 0, -5)
        painter.fillRect(strip, QColor(colours.raised))
        whole = Scale(0, max(look.case.duration, 1), area.left(), area.width())
        full, strokes = self._extents.worth_painting(whole, look.at, look.left, look.right)
        for number in sorted(full + strokes):
            tag, colour = self._tags[number]
            start, end = extent(tag, look.at)
            width = max(whole.x(end) - whole.x(start), 1)
            painter.fillRect(QRectF(whole.x(start), strip.top(), width, strip.height()), QColor(colour))
        for number, border in enumerate(look.case.borders[1:-1], start=2):
            _paint_border(painter, crisp(whole.x(border)), area, str(number), look)
        painter.setPen(QPen(QColor(colours.text), 1))
        painter.drawLine(QPointF(whole.x(look.at), area.top() + 2), QPointF(whole.x(look.at), area.bottom() - 2))
        painter.setPen(QPen(QColor(colours.accent), 1.5))
        left, right = whole.x(scale.start), whole.x(scale.end)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(left + 1, area.top() + 1, max(right - left - 2, 4), area.height() - 2)
        painter.drawRoundedRect(frame, BAND_CORNER, BAND_CORNER)


def _paint_border(painter: QPainter, x: float, area: QRectF, number: str, look: Look) -> None:
    """Where a recording begins: a line through the lane, with the recording's number as a flag."""
    painter.setPen(QPen(QColor(look.colours.muted), 1))
    painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))
    flag = QRectF(x + 0.5, area.center().y() - _FLAG / 2, _FLAG, _FLAG)
    painter.fillRect(flag, QColor(look.colours.panel))
    painter.setFont(typeface.small())
    write(painter, flag.toRect(), number, look.colours.muted, Qt.AlignmentFlag.AlignCenter)
