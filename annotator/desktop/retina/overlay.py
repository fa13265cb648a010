"""Paints the retina chart over the picture: thin lines that let the retina be seen."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen

from annotator.desktop.retina.painting import ChartContent
from annotator.desktop.retina.shape import ChartShape
from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import PICTURE_GROUND, PICTURE_TEXT
from annotator.model.place import HOURS, Field
from annotator.model.retina import LAYERS, angle_of, is_area, point, sides

_OF_PICTURE = 0.47
"""Radius of the chart, with the shorter side of the picture as 1: the retina is filmed as large as it fits."""

_FIGURES_AT, _LETTERS_AT = 0.93, 0.83
_FREE, _LINE = 110, 190
"""How opaque lines are, of 255: of free fields, and of their dark edges."""


def shape_over(area: QRectF) -> ChartShape:
    """The chart over a picture that lies in an area."""
    shape = ChartShape(_OF_PICTURE * min(area.width(), area.height()))
    shape.middle = area.center()
    return shape


def paint_overlay(painter: QPainter, area: QRectF, shown: ChartContent) -> None:
    """Over a picture that lies in an area, zoomed or not."""
    shape = shape_over(area)
    for layer in LAYERS:
        for field in layer:
            if field in shown.place:
                _paint_selected(painter, shape.outline(field, shown.view, shown.eye))
            elif is_area(field):
                _paint_free(painter, shape.outline(field, shown.view, shown.eye))
    painter.setFont(typeface.small(strong=True))
    for hour in HOURS:
        _write(painter, shape.pixel(*point(_FIGURES_AT, angle_of(hour, shown.view))), str(hour))
    for letter, way in zip(sides(shown.eye, shown.view), (-1, 1), strict=True):
        _write(painter, shape.pixel(way * _LETTERS_AT, 0), letter)


def field_under(at: QPointF, area: QRectF, shown: ChartContent) -> Field | None:
    """The field under a point of the picture."""
    return shape_over(area).field_under(at, shown.view, shown.eye)


def _paint_free(painter: QPainter, path: QPainterPath) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width, opaque in ((PICTURE_GROUND, 3.0, _FREE), (PICTURE_TEXT, 1.0, _LINE)):
        painter.setPen(QPen(_faint(colour, opaque), width))
        painter.drawPath(path)


def _paint_selected(painter: QPainter, path: QPainterPath) -> None:
    """Hatched and with a strong edge: it is told from free ones without colour."""
    painter.setBrush(QBrush(_faint(PICTURE_TEXT, _LINE), Qt.BrushStyle.BDiagPattern))
    for colour, width in ((PICTURE_GROUND, 5.0), (PICTURE_TEXT, 2.5)):
        painter.setPen(QPen(QColor(colour), width))
        painter.drawPath(path)


def _write(painter: QPainter, at: QPointF, text: str) -> None:
    """Light letters with a dark edge, as what they stand on may be of any colour."""
    box = QRectF(at.x() - 14, at.y() - 9, 28, 18)
    painter.setPen(QColor(PICTURE_GROUND))
    for right, down in ((-1, 0), (1, 0), (0, -1), (0, 1)):
        painter.drawText(box.translated(right, down), Qt.AlignmentFlag.AlignCenter, text)
    painter.setPen(QColor(PICTURE_TEXT))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _faint(colour: str, opaque: int) -> QColor:
    made = QColor(colour)
    made.setAlpha(opaque)
    return made
