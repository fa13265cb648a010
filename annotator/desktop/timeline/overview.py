"""The whole case in miniature, above the timeline."""

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import crisp, write
from annotator.desktop.theme.tokens import BAND_CORNER, UNIT
from annotator.desktop.timeline.lane import Look, Words, extent, recording_name
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strokes import Strokes
from annotator.desktop.timeline.thinning import of_tags
from annotator.model.case import Case
from annotator.publish.report.phase_colours import phase_fills

_STRIP, _NAMES = 20, 16
"""Heights in pixels: of the miniature, and of the names of several recordings over it."""


class Overview:
    """The whole case in miniature, with the visible stretch framed; over several recordings stand their names."""

    name = "whole case"

    def __init__(self, case: Case) -> None:
        phases = phase_fills(case.vocabulary)
        tags = [tag for tag in case.tags if tag.concept in phases]
        self._extents = of_tags((tag, 0) for tag in tags)
        self._strokes = Strokes(self._extents, [tag.concept for tag in tags])
        self._tags = tags
        self._names = _NAMES if len(case.recordings) > 1 else 0
        self.height = self._names + _STRIP

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        colours, inner = look.colours, area.adjusted(0, self._names, 0, 0)
        strip = inner.adjusted(0, 5, 0, -5)
        painter.fillRect(strip, QColor(colours.raised))
        whole = Scale(0, max(look.case.duration, 1), area.left(), area.width())
        self._paint_tags(painter, strip, whole, look)
        for border in look.case.borders[1:-1]:
            x = crisp(whole.x(border))
            painter.setPen(QPen(QColor(colours.muted), 1))
            painter.drawLine(QPointF(x, area.top()), QPointF(x, area.bottom()))
        painter.setPen(QPen(QColor(colours.text), 1))
        painter.drawLine(QPointF(whole.x(look.at), inner.top() + 2), QPointF(whole.x(look.at), inner.bottom() - 2))
        painter.setPen(QPen(QColor(colours.accent), 1.5))
        left, right = whole.x(scale.start), whole.x(scale.end)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(left + 1, inner.top() + 1, max(right - left - 2, 4), inner.height() - 2)
        painter.drawRoundedRect(frame, BAND_CORNER, BAND_CORNER)
        if self._names:
            self._paint_names(painter, area, whole, look)
        return ()

    def _paint_tags(self, painter: QPainter, strip: QRectF, whole: Scale, look: Look) -> None:
        full, strokes = self._extents.worth_painting(whole, look.at, look.left, look.right)
        self._strokes.paint(painter, strokes, strip, whole, look)
        for number in full:
            left, right = (whole.x(at) for at in extent(self._tags[number], look.at))
            area = QRectF(left, strip.top(), right - left, strip.height())
            painter.fillRect(area, QColor(look.phases[self._tags[number].concept]))

    def _paint_names(self, painter: QPainter, area: QRectF, whole: Scale, look: Look) -> None:
        painter.setFont(typeface.small())
        for number, (start, end) in enumerate(pairwise(look.case.borders)):
            left, right = whole.x(start) + UNIT, whole.x(end) - UNIT
            if right - left > 4 * UNIT:
                words = QRectF(left, area.top(), right - left, self._names).toRect()
                write(painter, words, recording_name(look.case, number), look.colours.muted)
