"""Paints a retina chart: its fields, the selected ones, the clock hours, nose and temple."""

from typing import NamedTuple

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from annotator.desktop.retina.shape import ChartShape
from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import Colours
from annotator.model.place import Eye, Field, Place
from annotator.model.retina import LAYERS, View, angle_of, is_area, point, sides


class ChartContent(NamedTuple):
    """What a chart shows: the selected fields, of which eye, and which way round."""

    place: Place = frozenset()
    eye: Eye | None = None
    view: View = View.UPRIGHT


def paint_chart(
    painter: QPainter, shape: ChartShape, shown: ChartContent, colours: Colours, focus: Field | None
) -> None:
    """All of it; `focus` is the field that a key would change, None while the chart has no focus."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for layer in LAYERS:
        for field in layer:
            if field not in shown.place and is_area(field):
                _paint_free(painter, shape, shown, field, colours)
        for field in layer:
            if field in shown.place:
                _paint_selected(painter, shape, shown, field, colours)
    _paint_words(painter, shape, shown, colours)
    if focus is not None:
        _paint_focus(painter, shape, shown, focus, colours)


def _paint_free(painter: QPainter, shape: ChartShape, shown: ChartContent, field: Field, colours: Colours) -> None:
    painter.setPen(QPen(QColor(colours.muted), 1))
    painter.setBrush(QColor(colours.raised))
    painter.drawPath(shape.outline(field, shown.view, shown.eye))


def _paint_selected(painter: QPainter, shape: ChartShape, shown: ChartContent, field: Field, colours: Colours) -> None:
    """Tinted, hatched and with a strong edge, so that it is told without colour."""
    outline = shape.outline(field, shown.view, shown.eye)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.accent_ground))
    painter.drawPath(outline)
    painter.setPen(QPen(QColor(colours.accent), 2))
    painter.setBrush(QBrush(QColor(colours.accent), Qt.BrushStyle.BDiagPattern))
    painter.drawPath(outline)


def _paint_words(painter: QPainter, shape: ChartShape, shown: ChartContent, colours: Colours) -> None:
    painter.setFont(typeface.small())
    painter.setPen(QColor(colours.muted))
    for hour in shape.hours:
        _write(painter, shape.pixel(*point(shape.out, angle_of(hour, shown.view))), str(hour))
    painter.setFont(typeface.small(strong=True))
    painter.setPen(QColor(colours.text))
    for letter, at in zip(sides(shown.eye, shown.view), shape.letters, strict=True):
        _write(painter, at, letter)


def _paint_focus(painter: QPainter, shape: ChartShape, shown: ChartContent, field: Field, colours: Colours) -> None:
    """A thick line in the colour of writing on one in the ground's."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    thick, thin = (6, 3) if shape.is_large else (4, 2)
    for colour, width in ((colours.panel, thick), (colours.text, thin)):
        painter.setPen(QPen(QColor(colour), width, j=Qt.PenJoinStyle.RoundJoin))
        painter.drawPath(shape.outline(field, shown.view, shown.eye))


def _write(painter: QPainter, at: QPointF, text: str) -> None:
    painter.drawText(QRectF(at.x() - 12, at.y() - 8, 24, 16), Qt.AlignmentFlag.AlignCenter, text)
