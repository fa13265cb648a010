"""Painting lanes, the playhead and the words over them: everything, or only what the shown frame has changed."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF, QRegion

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import write
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.timeline.lane import Lane, Look, Words
from annotator.desktop.timeline.scale import Scale
from annotator.model.timecode import Ms

REACH = 10
"""Pixels that what stands at a time is painted beyond it: a moment's diamond, the head of the playhead."""

LONGEST_NAME = 320
"""Pixels: a band that is wider shows its name whole."""

_CLEAR = 2
"""Pixels beside words within which the playhead would touch them."""

_HEAD = 6
"""Half of the width of the playhead's head, in pixels."""

Areas = Sequence[tuple[Lane, QRectF]]


def paint_lanes(painter: QPainter, part: QRect, areas: Areas, scale: Scale, look: Look) -> Sequence[Words]:
    """Whatever of these lanes lies within a part of the timeline; gives back what is to be written over it."""
    painter.setClipRect(part)
    painter.fillRect(part, QColor(look.colours.panel))
    words: list[Words] = []
    for lane, area in areas:
        if area.top() <= part.bottom() and part.top() <= area.bottom():
            if part.left() < area.left() - UNIT:
                painter.setFont(typeface.small())
                names = QRectF(4 * UNIT, area.top(), area.left() - 5 * UNIT, area.height()).toRect()
                write(painter, names, lane.name, look.colours.muted)
            painter.save()
            painter.setClipRect(area.adjusted(-1, 0, 1, 0), Qt.ClipOperation.IntersectClip)
            words += lane.paint(painter, area, scale, look)
            painter.restore()
    return words


def paint_words(painter: QPainter, part: QRect, words: Sequence[Words], playhead: float) -> None:
    """Words within a part, each on its own ground where the playhead would cross it."""
    painter.setClipRect(part)
    for one in words:
        if one.area.left() > part.right() or one.area.right() < part.left():
            continue
        painter.setFont(one.font)
        width = QFontMetricsF(one.font).horizontalAdvance(one.text)
        if one.is_plate or one.area.left() - _CLEAR <= playhead <= one.area.left() + width + _CLEAR:
            plate = QRectF(one.area.left() - 1, one.area.top(), width + 2, one.area.height())
            painter.fillRect(plate, QColor(one.ground))
        painter.setPen(QColor(one.ink))
        painter.drawText(one.area, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, one.text)


def changed_between(early: Ms, late: Ms, areas: Areas, scale: Scale, whole: Scale) -> QRegion:
    """A stretch of time as a strip of the overview, whose scale is the `whole`, and one of the lanes below."""
    overview, lowest = areas[0][1], areas[-1][1].bottom() + UNIT
    above = QRectF(whole.x(early), 0, whole.x(late) - whole.x(early), overview.bottom())
    below = QRectF(scale.x(early), overview.bottom(), scale.x(late) - scale.x(early), lowest - overview.bottom())
    return QRegion(_wider(above)).united(_wider(below))


def _wider(strip: QRectF) -> QRect:
    return strip.adjusted(-REACH, 0, REACH, 0).toAlignedRect()


def paint_playhead(painter: QPainter, part: QRect, x: float, top: float, bottom: float, colour: str) -> None:
    """A line through the lanes, with a head over the ruler."""
    painter.setClipRect(part)
    painter.setPen(QPen(QColor(colour), 1.5))
    painter.drawLine(QPointF(x, top), QPointF(x, bottom))
    painter.setBrush(QColor(colour))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon(QPolygonF([QPointF(x - _HEAD, top), QPointF(x + _HEAD, top), QPointF(x, top + _HEAD + 1)]))
