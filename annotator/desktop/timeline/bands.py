"""The bands of the timeline: the tags of a category as bars with their names, moments as diamonds."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache, partial
from itertools import chain
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import diamond
from annotator.desktop.theme.tokens import BAND_CORNER, ink_on, mixed
from annotator.desktop.timeline.lane import Look, Words, extent
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strokes import Strokes, joined, kinds_of
from annotator.desktop.timeline.thinning import THIN, Extents, of_tags
from annotator.measure.rollup import Run, runs
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval
from annotator.model.tag_list import Block, place_in_time
from annotator.model.timecode import LATEST, Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Facet, label_in

_STRONG, _PLAIN, _ROW = 24, 22, 18
"""Heights in pixels: of a band that holds one tag at a time, of another, and of each row where tags are stacked."""

_BEYOND = 2 * BAND_CORNER
"""Pixels that a band is drawn past what is visible, where it is cut."""


@lru_cache(maxsize=64)
def _colour(name: str) -> QColor:
    return QColor(name)  # not the class itself: to wrap it, Qt's binding would first write out its documentation


class FacetBand:
    """The tags of one facet; those that overlap are stacked."""

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        self._case = case
        parts, self.rows = _stacked(case, facet)
        self.placed = list(chain.from_iterable(part.placed for part in parts))
        self._extents = Extents.joined(part.extents for part in parts)
        self._is_moment = self._extents.are_moments
        self._strokes = Strokes(case.vocabulary, self._extents, joined(part.kinds for part in parts))
        self.height = max(_STRONG if facet.exclusive else _PLAIN, self.rows * _ROW + 4)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        _paint_ground(painter, area, look)
        full, thin = self._extents.worth_painting(scale, look.at, look.left, look.right)
        moments = self._is_moment[thin]
        self._strokes.paint(painter, thin[~moments], self._row_area(area, 0), scale, look)
        # The selected ones over all others, so that they are seen however many lie there.
        selected = {number for one in look.all_selected if (number := self._number_of(one)) is not None}
        found = []
        for number in (*thin[moments].tolist(), *full, *sorted(selected - set(full))):
            tag, row = self.placed[number]
            found.append(self._paint_tag(painter, tag, row, area, scale, look))
        return [words for words in found if words is not None]

    def paint_dragged(
        self, painter: QPainter, area: QRectF, tags: Sequence[Tag], span: Interval, scale: Scale, look: Look
    ) -> Sequence[Words]:
        """Paint a stretch of the selected tag's row anew, with the tags as they would be if it were let go."""
        row = self.row_of(look.selected or "") or 0
        stretch = self._row_area(area, row)
        stretch.setLeft(scale.x(span.start))
        stretch.setRight(scale.x(span.end))
        painter.fillRect(stretch.intersected(area), QColor(look.colours.raised))
        painted = [
            self._paint_tag(painter, tag, row, area, scale, look)
            for tag in sorted(tags, key=lambda one: one.id == look.selected)
        ]
        return [words for words in painted if words is not None]

    def _row_height(self, area: QRectF) -> float:
        return (area.height() - 4) / self.rows

    def _row_area(self, area: QRectF, row: int) -> QRectF:
        height = self._row_height(area)
        return QRectF(area.left(), area.top() + 2 + row * height, area.width(), height)

    def _paint_tag(self, painter: QPainter, tag: Tag, row: int, area: QRectF, scale: Scale, look: Look) -> Words | None:
        start, end = extent(tag, look.at)
        band = self._row_area(area, row)
        band.setLeft(scale.x(start))
        band.setRight(max(scale.x(end), band.left() + THIN))
        if tag.end == tag.start:
            self._paint_moment(painter, band, tag, look)
            return None
        return self._paint_range(painter, band, area, tag, look.phases.get(tag.concept, look.colours.bar), look)

    def row_of(self, tag_id: str) -> int | None:
        """The row that a tag stands in; None for one that is not of this facet."""
        number = self._number_of(tag_id)
        return None if number is None else self.placed[number][1]

    def _number_of(self, tag_id: str) -> int | None:
        tag = self._case.by_id.get(tag_id)
        if tag is None:
            return None
        number = bisect_left(self.placed, place_in_time(tag), key=lambda one: place_in_time(one[0]))
        return number if number < len(self.placed) and self.placed[number][0].id == tag_id else None

    def row_at(self, area: QRectF, y: float) -> int:
        """The row at a height within the band's area."""
        return min(int((y - area.top()) * self.rows / area.height()), self.rows - 1)

    def touching(self, row: int, start: Ms, end: Ms, at: Ms) -> list[Tag]:
        """The tags of a row that have some time from `start` to `end`; a running one ends at `at`."""
        return [self.placed[number][0] for number in self._extents.touching(row, start, end, at)]

    def _paint_moment(self, painter: QPainter, band: QRectF, tag: Tag, look: Look) -> None:
        if tag.id in look.all_selected:
            diamond(painter, band.left(), band.center().y(), look.colours.text, 8)
        diamond(painter, band.left(), band.center().y(), look.colours.warning, 5.5)

    def _paint_range(
        self, painter: QPainter, band: QRectF, area: QRectF, tag: Tag, colour: str, look: Look
    ) -> Words | None:
        # Beyond the area on either side, so that what goes on there has no end drawn here.
        shown = band.intersected(area.adjusted(-_BEYOND, 0, _BEYOND, 0))
        # What is only proposed is pale; its name is not.
        seen = colour if tag.confirmed else mixed(colour, look.colours.raised)
        words = _bar(painter, shown, seen, name_of(look.case, tag), room=14 if tag.is_running else 4)
        if tag.is_running:
            _arrow(painter, shown, ink_on(seen))
        if tag.id in look.all_selected:
            painter.setPen(QPen(QColor(look.colours.text), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(shown.adjusted(1, 1, -1, -1), BAND_CORNER, BAND_CORNER)
        return words


class _Rows(NamedTuple):
    """The tags of a facet in a block, each with its row; until when each row is taken; their extents and kinds."""

    placed: list[tuple[Tag, int]]
    ends: list[Ms]
    extents: Extents
    kinds: NDArray[np.intp]


def _stacked(case: Case, facet: Facet) -> tuple[list[_Rows], int]:
    """Each tag of a facet with its row, and the number of rows: none hides another.

    What is known of a block holds where none before it reaches into it.
    """
    ends: list[Ms] = []
    parts: list[_Rows] = []
    for block in case.tag_list.blocks:
        on = case.vocabulary, case.duration
        part = block.once(f"rows of {facet.name}", on, partial(_rows, case, facet, block, []))
        if part.placed:
            if max(ends, default=0) > part.placed[0][0].start:
                part = _rows(case, facet, block, ends)
            ends = part.ends + ends[len(part.ends) :]
            parts.append(part)
    return parts, max(len(ends), 1)


def _rows(case: Case, facet: Facet, block: Block, taken: Sequence[Ms]) -> _Rows:
    """The tags of a block beside those before it, which take the rows until the times given."""
    ends = list(taken)
    placed: list[tuple[Tag, int]] = []
    for tag in block:
        if case.facet_of(tag) == facet:
            start, end = case.range_of(tag)
            row = next((at for at, reached in enumerate(ends) if reached <= start), len(ends))
            ends[row : row + 1] = [end]
            placed.append((tag, row))
    return _Rows(placed, ends, of_tags(placed), kinds_of(case.vocabulary, (tag.concept for tag, _ in placed)))


class ImpliedBand:
    """A facet that nobody tagged, as its narrower tags imply it: phases from their steps. Only to be looked at."""

    height = _STRONG

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        name, on = f"runs of {facet.name}", (case.vocabulary,)
        parts = [block.once(name, on, partial(_implied, case, facet, block)) for block in case.tag_list.blocks]
        self._runs = [
            (start, None if end == LATEST else end, one) for start, end, one in runs(chain.from_iterable(parts))
        ]
        self._extents = Extents((start, end, 0) for start, end, _ in self._runs)
        kinds = kinds_of(case.vocabulary, (concept.iri for _, _, concept in self._runs))
        self._strokes = Strokes(case.vocabulary, self._extents, kinds)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        _paint_ground(painter, area, look)
        strip = area.adjusted(0, 2, 0, -2)
        full, strokes = self._extents.worth_painting(scale, look.at, look.left, look.right)
        self._strokes.paint(painter, strokes, strip, scale, look)
        words = []
        for number in full:
            start, end, concept = self._runs[number]
            band = QRectF(strip)
            band.setLeft(scale.x(start))
            band.setRight(scale.x(max(start, look.at) if end is None else end))
            colour = look.phases.get(concept.iri, look.colours.bar)
            words.append(_bar(painter, band.intersected(area), colour, concept.label()))
        return [one for one in words if one is not None]


def _implied(case: Case, facet: Facet, block: Block) -> list[Run]:
    """What a block's tags imply of a facet above theirs; a running one lasts, up to the playhead, for ever."""
    concepts = (case.vocabulary.concept(iri) for iri in block.concepts)
    lines = {one.iri: case.vocabulary.lineage(one, facet.name) for one in concepts if one is not None}
    below = ((tag, lines[tag.concept][0]) for tag in block if lines.get(tag.concept))
    return runs((tag.start, LATEST if tag.end is None else tag.end, broader) for tag, broader in below)


def _paint_ground(painter: QPainter, area: QRectF, look: Look) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_colour(look.colours.raised))
    painter.drawRoundedRect(area.adjusted(0, 2, 0, -2), BAND_CORNER, BAND_CORNER)


def _bar(painter: QPainter, area: QRectF, colour: str, text: str, *, room: float = 4) -> Words | None:
    """A filled band; gives back its name, where there is room for it: `room` is kept free on the right."""
    shown = area.adjusted(0.5, 0, -0.5, 0)
    shown.setWidth(max(shown.width(), 2))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_colour(colour))
    painter.drawRoundedRect(shown, BAND_CORNER, BAND_CORNER)
    if shown.width() <= 24 or shown.height() <= 12:
        return None
    font, inside = typeface.small(strong=True), shown.adjusted(6, 0, -room, 0)
    fitting = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, inside.width())
    return Words(inside, fitting, font, ink_on(colour), colour) if len(fitting) > 2 else None


def _arrow(painter: QPainter, band: QRectF, ink: str) -> None:
    """A running tag's end is open: an arrow instead of an edge."""
    if band.width() < 14:
        return
    right, middle = band.right() - 4, band.center().y()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ink))
    back = right - 5
    painter.drawPolygon(QPolygonF([QPointF(back, middle - 4), QPointF(right, middle), QPointF(back, middle + 4)]))
