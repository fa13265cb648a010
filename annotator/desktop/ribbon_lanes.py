"""The lanes of the ribbon: each has a name and a height and paints its stretch of the case.

A new kind of lane (film, sound) is one more class with the same three things.
"""

from typing import NamedTuple, Protocol

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from annotator.desktop import typeface
from annotator.desktop.paint import diamond
from annotator.desktop.phases import phase_colours
from annotator.desktop.ribbon_scale import Scale, tick_step, tick_text
from annotator.desktop.tokens import BAND_CORNER, Colours, ink_on
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, Facet, label_in


class Look(NamedTuple):
    """What a lane needs to know to paint: the case, the shown frame's time, the chosen tag, the theme."""

    case: Case
    at: Ms
    chosen: str | None
    colours: Colours


class Lane(Protocol):
    name: str
    height: int

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None: ...


class Overview:
    """The whole case in miniature, with the visible stretch framed."""

    name = "whole case"
    height = 20

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        colours = look.colours
        strip = area.adjusted(0, 5, 0, -5)
        painter.fillRect(strip, QColor(colours.raised))
        whole = Scale(0, max(look.case.duration, 1), area.left(), area.width())
        phases = phase_colours(look.case.vocabulary)
        for tag in look.case.tags:
            if tag.concept in phases:
                start, end = _extent(look, tag)
                width = max(whole.x(end) - whole.x(start), 1)
                part = QRectF(whole.x(start), strip.top(), width, strip.height())
                painter.fillRect(part, QColor(phases[tag.concept]))
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
        painter.setFont(typeface.small())
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


class FacetBand:
    """The tags of one facet; those that overlap are stacked."""

    def __init__(self, facet: Facet, strong: bool) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        self.height = 24 if strong else 20

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        strip = area.adjusted(0, 2, 0, -2)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.colours.raised))
        painter.drawRoundedRect(strip, BAND_CORNER, BAND_CORNER)
        colours = phase_colours(look.case.vocabulary)
        for tag, row, rows in self.stacked(look):
            start, end = _extent(look, tag)
            if not scale.shows(start, end):
                continue
            height = strip.height() / rows
            band = QRectF(scale.x(start), strip.top() + row * height, scale.x(end) - scale.x(start), height)
            if tag.end == tag.start:
                self._paint_moment(painter, band, tag, look)
            else:
                self._paint_range(painter, band, area, tag, colours.get(tag.concept, look.colours.bar), look)

    def stacked(self, look: Look) -> list[tuple[Tag, int, int]]:
        """Each tag of the facet with its row and the number of rows, so that none hides another."""
        tags = list(look.case.in_facet(self.facet.name))
        ends: list[Ms] = []
        placed: list[tuple[Tag, int]] = []
        for tag in tags:
            start, end = _extent(look, tag)
            row = next((at for at, reached in enumerate(ends) if reached <= start), len(ends))
            ends[row : row + 1] = [end]
            placed.append((tag, row))
        return [(tag, row, max(len(ends), 1)) for tag, row in placed]

    def _paint_moment(self, painter: QPainter, band: QRectF, tag: Tag, look: Look) -> None:
        if tag.id == look.chosen:
            diamond(painter, band.left(), band.center().y(), look.colours.text, 8)
        diamond(painter, band.left(), band.center().y(), look.colours.warning, 5.5)

    def _paint_range(self, painter: QPainter, band: QRectF, area: QRectF, tag: Tag, colour: str, look: Look) -> None:
        shown = band.intersected(area)
        painter.setOpacity(1 if tag.confirmed else 0.5)
        painter.setPen(Qt.PenStyle.NoPen)
        _bar(painter, shown, colour, name_of(look.case, tag), room=14 if tag.is_running else 4)
        painter.setOpacity(1)
        if tag.is_running:
            _arrow(painter, shown, ink_on(colour))
        if tag.id == look.chosen:
            painter.setPen(QPen(QColor(look.colours.text), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(shown.adjusted(1, 1, -1, -1), BAND_CORNER, BAND_CORNER)


class ImpliedBand:
    """A facet that nobody tagged, as its narrower tags imply it: phases from their steps. Only to be looked at."""

    height = 24

    def __init__(self, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        strip = area.adjusted(0, 2, 0, -2)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.colours.raised))
        painter.drawRoundedRect(strip, BAND_CORNER, BAND_CORNER)
        colours = phase_colours(look.case.vocabulary)
        for start, end, concept in self._runs(look):
            if scale.shows(start, end):
                band = QRectF(scale.x(start), strip.top(), scale.x(end) - scale.x(start), strip.height())
                _bar(painter, band.intersected(area), colours.get(concept.iri, look.colours.bar), concept.label())

    def _runs(self, look: Look) -> list[tuple[Ms, Ms, Concept]]:
        """Tags that follow each other under one concept of the facet, as one range each."""
        runs: list[tuple[Ms, Ms, Concept]] = []
        for tag in look.case.tags:
            concept = look.case.concept_of(tag)
            above = next((one for one in _ancestors(look.case, concept) if one.facet == self.facet.name), None)
            if above is None:
                continue
            start, end = _extent(look, tag)
            if runs and runs[-1][2] is above:
                runs[-1] = (runs[-1][0], max(runs[-1][1], end), above)
            else:
                runs.append((start, end, above))
        return runs


def _ancestors(case: Case, concept: Concept | None) -> tuple[Concept, ...]:
    return case.vocabulary.ancestors(concept) if concept else ()


def _bar(painter: QPainter, area: QRectF, colour: str, text: str, *, room: float = 4) -> None:
    """A filled band with its name, where there is room for it; `room` is kept free on the right."""
    shown = area.adjusted(0.5, 0, -0.5, 0)
    shown.setWidth(max(shown.width(), 2))
    painter.setBrush(QColor(colour))
    painter.drawRoundedRect(shown, BAND_CORNER, BAND_CORNER)
    if shown.width() > 24 and shown.height() > 12:
        painter.setFont(typeface.small(strong=True))
        inside = shown.adjusted(6, 0, -room, 0)
        fitting = QFontMetricsF(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, inside.width())
        if len(fitting) > 2:
            painter.setPen(QColor(ink_on(colour)))
            painter.drawText(inside, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, fitting)
            painter.setPen(Qt.PenStyle.NoPen)


def _arrow(painter: QPainter, band: QRectF, ink: str) -> None:
    """A running tag's end is open: an arrow instead of an edge."""
    if band.width() < 14:
        return
    right, middle = band.right() - 4, band.center().y()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ink))
    back = right - 5
    painter.drawPolygon(QPolygonF([QPointF(back, middle - 4), QPointF(right, middle), QPointF(back, middle + 4)]))


def _extent(look: Look, tag: Tag) -> tuple[Ms, Ms]:
    """A running tag is drawn up to the shown frame: what comes after is not known yet."""
    return tag.start, max(tag.start, look.at) if tag.end is None else tag.end


def lanes_for(case: Case) -> list[Lane]:
    """Overview, ruler, then a band for each exclusive facet and for each other that has tags or moments."""
    used = {facet.name for tag in case.tags if (facet := case.facet_of(tag))}
    holding = {concept.notation for concept in case.vocabulary.concepts} & {
        concept.broader for concept in case.vocabulary.concepts
    }
    lanes: list[Lane] = [Overview(), Ruler()]
    for facet in case.vocabulary.facets:
        if facet.name in used or facet.moments:
            lanes.append(FacetBand(facet, facet.exclusive))
        elif facet.exclusive:
            holds = any(concept.notation in holding for concept in case.vocabulary.in_facet(facet.name))
            lanes.append(ImpliedBand(facet) if holds else FacetBand(facet, strong=True))
    return lanes
