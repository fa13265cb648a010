"""Painting the timeline, all of it or only what has changed with the shown frame."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF, QRegion

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import write
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.timeline.lane import Lane, Look
from annotator.desktop.timeline.scale import Scale
from annotator.model.timecode import Ms

REACH = 10
"""Pixels that what stands at a time is painted beyond it: a moment's diamond, the head of the playhead."""

LONGEST_NAME = 320
"""Pixels: a band that is wider shows its name whole."""

_HEAD = 6
"""Half of the width of the playhead's head, in pixels."""

Areas = Sequence[tuple[Lane, QRectF]]


def paint_part(painter: QPainter, part: QRect, areas: Areas, scale: Scale, look: Look) -> None:
    """Whatever of the timeline lies within a part of it; the first lane is the overview."""
    painter.setClipRect(part)
    painter.fillRect(part, QColor(look.colours.panel))
    for lane, area in areas:
        if area.top() <= part.bottom() and part.top() <= area.bottom():
            painter.setFont(typeface.small())
            names = QRectF(4 * UNIT, area.top(), area.left() - 5 * UNIT, area.height()).toRect()
            write(painter, names, lane.name, look.colours.muted)
            painter.save()
            painter.setClipRect(area.adjusted(-1, 0, 1, 0), Qt.ClipOperation.IntersectClip)
            lane.paint(painter, area, scale, look)
            painter.restore()
    if scale.start <= look.at <= scale.end:
        _paint_playhead(painter, scale.x(look.at), areas[0][1].bottom(), areas[-1][1].bottom(), look)


def changed_between(early: Ms, late: Ms, areas: Areas, scale: Scale, whole: Scale) -> QRegion:
    """A stretch of time as a strip of the overview, whose scale is the `whole`, and one of the lanes below."""
    overview, lowest = areas[0][1], areas[-1][1].bottom() + UNIT
    above = QRectF(whole.x(early), 0, whole.x(late) - whole.x(early), overview.bottom())
    below = QRectF(scale.x(early), overview.bottom(), scale.x(late) - scale.x(early), lowest - overview.bottom())
    return QRegion(_wider(above)).united(_wider(below))


def _wider(strip: QRectF) -> QRect:
    return strip.adjusted(-REACH, 0, REACH, 0).toAlignedRect()


def _paint_playhead(painter: QPainter, x: float, top: float, bottom: float, look: Look) -> None:
    painter.setPen(QPen(QColor(look.colours.text), 1.5))
    painter.drawLine(QPointF(x, top), QPointF(x, bottom))
    painter.setBrush(QColor(look.colours.text))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon(QPolygonF([QPointF(x - _HEAD, top), QPointF(x + _HEAD, top), QPointF(x, top + _HEAD + 1)]))
