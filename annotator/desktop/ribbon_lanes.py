"""Which lanes the ribbon has; the two above the bands: the whole case in miniature, and the ruler."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from annotator.desktop import typeface
from annotator.desktop.phases import phase_colours
from annotator.desktop.ribbon_bands import FacetBand, ImpliedBand
from annotator.desktop.ribbon_lane import Lane, Look, extent
from annotator.desktop.ribbon_scale import Scale, tick_step, tick_text
from annotator.desktop.ribbon_thin import of_tags
from annotator.desktop.tokens import BAND_CORNER, SMALL_SIZE
from annotator.model.case import Case
from annotator.model.vocabulary import Facet


class Overview:
    """The whole case in miniature, with the visible stretch framed."""

    name = "whole case"
    height = 20

    def __init__(self, case: Case) -> None:
        phases = phase_colours(case.vocabulary)
        self._tags = [(tag, phases[tag.concept]) for tag in case.tags if tag.concept in phases]
        self._extents = of_tags((tag, 0) for tag, _ in self._tags)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        colours = look.colours
        strip = area.adjusted(0, 5, 0, -5)
        painter.fillRect(strip, QColor(colours.raised))
        whole = Scale(0, max(look.case.duration, 1), area.left(), area.width())
        full, strokes = self._extents.worth_painting(whole, look.at)
        for number in sorted(full + strokes):
            tag, colour = self._tags[number]
            start, end = extent(tag, look.at)
            width = max(whole.x(end) - whole.x(start), 1)
            painter.fillRect(QRectF(whole.x(start), strip.top(), width, strip.height()), QColor(colour))
        painter.setPen(QPen(QColor(colours.ground), 2))
        for border in look.case.borders[1:-1]:
            painter.drawLine(QPointF(whole.x(border), strip.top()), QPointF(whole.x(border), strip.bottom()))
        painter.setPen(QPen(QColor(colours.text), 1))
        painter.drawLine(QPointF(whole.x(look.at), area.top() + 2), QPointF(whole.x(look.at), area.bottom() - 2))
        painter.setPen(QPen(QColor(colours.accent), 1.5))
        left, right = whole.x(scale.start), whole.x(scale.end)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(left + 1, area.top() + 1, right - left - 2, area.height() - 2)
        painter.drawRoundedRect(frame, BAND_CORNER, BAND_CORNER)


class Ruler:
    """Times at round distances."""

    name = ""
    height = 20

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        step = tick_step(scale)
        painter.setFont(typeface.figures(SMALL_SIZE))
        metrics = QFontMetricsF(painter.font())
        at = -(-scale.start // step) * step
        while at <= scale.end:
            x, text = scale.x(at), tick_text(at, step)
            painter.setPen(QPen(QColor(look.colours.line), 1))
            painter.drawLine(QPointF(x, area.top() + 4), QPointF(x, area.bottom()))
            if x + 5 + metrics.horizontalAdvance(text) <= area.right():
                painter.setPen(QColor(look.colours.muted))
                painter.drawText(QPointF(x + 5, area.bottom() - 5), text)
            at += step


def lanes_for(case: Case, strips: Sequence[Lane] = (), *, compact: bool = False) -> list[Lane]:
    """Overview, ruler, strips of the recordings, a band for each exclusive facet and each other with tags or moments.

    Where there is little room (`compact`) only the facets that are tagged in any case: one at a time, or moments.
    """
    used = {facet.name for tag in case.tags if (facet := case.facet_of(tag))}
    lanes: list[Lane] = [Overview(case), Ruler(), *strips]
    for facet in case.vocabulary.facets:
        if facet.exclusive and facet.name not in used and _holds_others(case, facet):
            lanes.append(ImpliedBand(case, facet))
        elif facet.exclusive or facet.moments or (facet.name in used and not compact):
            lanes.append(FacetBand(case, facet))
    return lanes


def _holds_others(case: Case, facet: Facet) -> bool:
    """Whether concepts of other facets lie under this one's, as steps do under phases."""
    mine = {concept.notation for concept in case.vocabulary.in_facet(facet.name)}
    return any(concept.broader in mine and concept.facet != facet.name for concept in case.vocabulary.concepts)
