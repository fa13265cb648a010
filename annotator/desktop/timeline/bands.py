"""The bands of the timeline: the tags of a category as bars with their names, moments as diamonds."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache, partial
from itertools import chain
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from annotator.desktop.theme.paint import diamond
from annotator.desktop.theme.tokens import BAND_CORNER, ink_on, mixed
from annotator.desktop.timeline.lane import Look, Words, extent
from annotator.desktop.timeline.names import BESIDE, INSIDE, name_beside, name_inside, name_over
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strokes import Strokes, joined, kinds_of
from annotator.desktop.timeline.thinning import THIN, Extents, Table, of_tags
from annotator.measure.rollup import Range, chained, is_free, runs
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval
from annotator.model.tag_list import Block, place_in_time
from annotator.model.timecode import LATEST, Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, Facet, label_in

_STRONG, _PLAIN, _ROW = 24, 22, 18
"""Heights in pixels: of a band that holds one tag at a time, of another, and of each row where tags are stacked."""

_BEYOND = 2 * BAND_CORNER
"""Pixels that a band is drawn past what is visible, where it is cut."""

_MOMENT, _RUNNING = 5.5, 14
"""Pixels: half of a moment's diamond, and the room that a running band keeps for its arrow."""


@lru_cache(maxsize=64)
def _colour(name: str) -> QColor:
    return QColor(name)  # not the class itself: to wrap it, Qt's binding would first write out its documentation


class FacetBand:
    """The tags of one facet; those that overlap are stacked."""

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        self.terms = case.terms(facet.name)
        self._case = case
        parts, self.rows = _stacked(case, facet)
        self.placed = list(chain.from_iterable(part.placed for part in parts))
        self._extents = Extents.joined(part.table for part in parts)
        self._is_moment = self._extents.are_moments
        self._strokes = Strokes(case.vocabulary, self._extents, joined(part.kinds for part in parts))
        self.height = max(_STRONG if facet.exclusive else _PLAIN, self.rows * _ROW + 4)
        self._named: tuple[object, dict[int, Words]] = (None, {})

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        _paint_ground(painter, area, look)
        full, thin = self._extents.worth_painting(scale, look.at, look.left, look.right)
        moments = self._is_moment[thin]
        self._strokes.paint(painter, thin[~moments], _row_area(area, 0, self.rows), scale, look)
        # The selected ones over all others, so that they are seen however many lie there.
        selected = {number for one in look.all_selected if (number := self._number_of(one)) is not None}
        for number in (*thin[moments].tolist(), *full, *sorted(selected - set(full))):
            tag, row = self.placed[number]
            self._paint_tag(painter, tag, row, area, scale, look)
        return self._names(area, scale, look)

    def _names(self, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        """Of all that is visible: the same from frame to frame, so that they are worked out once for a scale."""
        asked = (scale, area, look.colours, self._extents.changes_with(look.at))
        if self._named[0] != asked:
            roomy = self._extents.with_room(scale, look.at, INSIDE, BESIDE)
            found = ((number, self._name_of(number, free, area, scale, look)) for number, free in roomy)
            self._named = asked, {number: words for number, words in found if words is not None}
        names = self._named[1]
        number = self._number_of(look.selected) if look.selected else None
        if number is None or number in names or self.placed[number][0].is_running:
            return list(names.values())
        tag, row = self.placed[number]
        band = self._place(tag, row, area, scale, look.at)
        if not band.intersects(area):
            return list(names.values())
        over = name_over(band, area, name_of(look.case, tag), look.colours)
        return [*(one for one in names.values() if not one.area.intersects(over.area)), over]

    def _name_of(self, number: int, free: float, area: QRectF, scale: Scale, look: Look) -> Words | None:
        tag, row = self.placed[number]
        band, name = self._place(tag, row, area, scale, look.at), name_of(look.case, tag)
        if tag.start == tag.end:
            band.setRight(band.left() + _MOMENT)
            return name_beside(band, min(free, area.right()), name, look.colours)
        beside = name_beside(band, min(free, area.right()), name, look.colours)
        return beside or self._name_inside(tag, band, area, look)

    def paint_dragged(
        self, painter: QPainter, area: QRectF, tags: Sequence[Tag], span: Interval, scale: Scale, look: Look
    ) -> Sequence[Words]:
        """Paint a stretch of the selected tag's row anew, with the tags as they would be if it were let go."""
        painter.fillRect(self.stretch(area, span, scale, look).intersected(area), QColor(look.colours.raised))
        row, found = self.row_of(look.selected or "") or 0, []
        for tag in sorted(tags, key=lambda one: one.id == look.selected):
            self._paint_tag(painter, tag, row, area, scale, look)
            found.append(self._name_inside(tag, self._place(tag, row, area, scale, look.at), area, look))
        return [words for words in found if words is not None]

    def stretch(self, area: QRectF, span: Interval, scale: Scale, look: Look) -> QRectF:
        """Where the selected tag's row is from a time to another."""
        found = _row_area(area, self.row_of(look.selected or "") or 0, self.rows)
        found.setLeft(scale.x(span.start))
        found.setRight(scale.x(span.end))
        return found

    def _place(self, tag: Tag, row: int, area: QRectF, scale: Scale, at: Ms) -> QRectF:
        start, end = extent(tag, at)
        band = _row_area(area, row, self.rows)
        band.setLeft(scale.x(start))
        band.setRight(max(scale.x(end), band.left() + THIN))
        return band

    def _paint_tag(self, painter: QPainter, tag: Tag, row: int, area: QRectF, scale: Scale, look: Look) -> None:
        band = self._place(tag, row, area, scale, look.at)
        if tag.end == tag.start:
            self._paint_moment(painter, band, tag, look)
        else:
            self._paint_range(painter, band, area, tag, look)

    def _name_inside(self, tag: Tag, band: QRectF, area: QRectF, look: Look) -> Words | None:
        name, kept = name_of(look.case, tag), _RUNNING if tag.is_running else 4
        return name_inside(_shown(band, area), name, _colour_of(tag, look), kept=kept)

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
        diamond(painter, band.left(), band.center().y(), look.colours.warning, _MOMENT)

    def _paint_range(self, painter: QPainter, band: QRectF, area: QRectF, tag: Tag, look: Look) -> None:
        shown, colour = _shown(band, area), _colour_of(tag, look)
        _bar(painter, shown, colour)
        if tag.is_running:
            _arrow(painter, shown, ink_on(colour))
        if tag.id in look.all_selected:
            painter.setPen(QPen(QColor(look.colours.text), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(shown.adjusted(1, 1, -1, -1), BAND_CORNER, BAND_CORNER)


def _shown(band: QRectF, area: QRectF) -> QRectF:
    """Cut beyond the area on either side, so that what goes on there has no end drawn here."""
    return band.intersected(area.adjusted(-_BEYOND, 0, _BEYOND, 0))


def _colour_of(tag: Tag, look: Look) -> str:
    """What is only proposed is pale; its name is not."""
    colour = look.phases.get(tag.concept, look.colours.bar)
    return colour if tag.confirmed else mixed(colour, look.colours.raised)


def _row_area(area: QRectF, row: int, rows: int) -> QRectF:
    height = (area.height() - 4) / rows
    return QRectF(area.left(), area.top() + 2 + row * height, area.width(), height)


def _taken_row(ends: list[Ms], start: Ms, end: Ms) -> int:
    """The first row that is free from `start` on, given until when each is taken; it is taken until `end` then."""
    for row, reached in enumerate(ends):
        if reached <= start:
            ends[row] = end
            return row
    ends.append(end)
    return len(ends) - 1


class _Rows(NamedTuple):
    """The tags of a facet in a block, each with its row; until when each row is taken; their ranges and kinds."""

    placed: list[tuple[Tag, int]]
    ends: list[Ms]
    table: Table
    kinds: NDArray[np.intp]


def _stacked(case: Case, facet: Facet) -> tuple[list[_Rows], int]:
    """Each tag of a facet with its row, and the number of rows: none hides another.

    What is known of a block holds where none before it reaches into it.
    """
    ends: list[Ms] = []
    parts: list[_Rows] = []
    terms, name, on = case.terms(facet.name), f"rows of {facet.name}", (case.vocabulary, case.duration)
    for block in case.tag_list.blocks:
        if not terms.isdisjoint(block.concepts):
            part = block.once(name, on, partial(_rows, case, terms, block, []))
            if max(ends, default=0) > part.placed[0][0].start:
                part = _rows(case, terms, block, ends)
            ends = part.ends + ends[len(part.ends) :]
            parts.append(part)
    return parts, max(len(ends), 1)


def _rows(case: Case, terms: frozenset[str], block: Block, taken: Sequence[Ms]) -> _Rows:
    """The tags of a block with one of these terms, beside those before it that take the rows until the times given."""
    ends = list(taken)
    placed: list[tuple[Tag, int]] = []
    for tag in block:
        if tag.concept in terms:
            end = case.range_of(tag).end if tag.end is None else tag.end
            placed.append((tag, _taken_row(ends, tag.start, end)))
    return _Rows(placed, ends, of_tags(placed), kinds_of(case.vocabulary, (tag.concept for tag, _ in placed)))


class ImpliedBand:
    """A facet that nobody tagged, as its narrower tags imply it: phases from their steps. Only to be looked at."""

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        known = case.vocabulary.by_iri.items()
        self.terms = frozenset(iri for iri, concept in known if case.vocabulary.lineage(concept, facet.name))
        name, on = f"runs of {facet.name}", (case.vocabulary,)
        parts = [block.once(name, on, partial(_implied, case, facet, block)) for block in case.tag_list.blocks]
        ends: list[Ms] = []
        self._runs = [(one, _taken_row(ends, one.start, one.end)) for one in runs(chain.from_iterable(parts))]
        self._rows = max(len(ends), 1)
        self.height = max(_STRONG, self._rows * _ROW + 4)
        self._extents = Extents((one.start, None if one.end == LATEST else one.end, row) for one, row in self._runs)
        kinds = kinds_of(case.vocabulary, (one.concept.iri for one, _ in self._runs))
        self._strokes = Strokes(case.vocabulary, self._extents, kinds)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        _paint_ground(painter, area, look)
        full, strokes = self._extents.worth_painting(scale, look.at, look.left, look.right)
        self._strokes.paint(painter, strokes, _row_area(area, 0, self._rows), scale, look)
        for number in full:
            concept = self._runs[number][0].concept
            band = self._place(number, area, scale, look.at).intersected(area)
            _bar(painter, band, look.phases.get(concept.iri, look.colours.bar))
        roomy = self._extents.with_room(scale, look.at, INSIDE, BESIDE)
        names = (self._name_of(number, free, area, scale, look) for number, free in roomy)
        return [words for words in names if words is not None]

    def _place(self, number: int, area: QRectF, scale: Scale, at: Ms) -> QRectF:
        one, row = self._runs[number]
        band = _row_area(area, row, self._rows)
        band.setLeft(scale.x(one.start))
        band.setRight(max(scale.x(max(one.start, at) if one.end == LATEST else one.end), band.left() + THIN))
        return band

    def _name_of(self, number: int, free: float, area: QRectF, scale: Scale, look: Look) -> Words | None:
        concept = self._runs[number][0].concept
        band, name = self._place(number, area, scale, look.at), concept.label()
        beside = name_beside(band, min(free, area.right()), name, look.colours)
        colour = look.phases.get(concept.iri, look.colours.bar)
        return beside or name_inside(band.intersected(area), name, colour)


def _implied(case: Case, facet: Facet, block: Block) -> list[Range]:
    """What a block's tags imply of a facet above theirs; a running one lasts, up to the playhead, for ever."""
    above: dict[str, tuple[Concept, bool]] = {}
    for concept in filter(None, map(case.vocabulary.concept, block.concepts)):
        for broader in case.vocabulary.lineage(concept, facet.name)[:1]:
            above[concept.iri] = broader, is_free(case.vocabulary, concept, facet.name)
    below = (tag for tag in block if tag.concept in above)
    return chained(Range(tag.start, LATEST if tag.end is None else tag.end, *above[tag.concept]) for tag in below)


def _paint_ground(painter: QPainter, area: QRectF, look: Look) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_colour(look.colours.raised))
    painter.drawRoundedRect(area.adjusted(0, 2, 0, -2), BAND_CORNER, BAND_CORNER)


def _bar(painter: QPainter, area: QRectF, colour: str) -> None:
    shown = area.adjusted(0.5, 0, -0.5, 0)
    shown.setWidth(max(shown.width(), 2))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_colour(colour))
    painter.drawRoundedRect(shown, BAND_CORNER, BAND_CORNER)


def _arrow(painter: QPainter, band: QRectF, ink: str) -> None:
    """A running tag's end is open: an arrow instead of an edge."""
    if band.width() < 14:
        return
    right, middle = band.right() - 4, band.center().y()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(ink))
    back = right - 5
    painter.drawPolygon(QPolygonF([QPointF(back, middle - 4), QPointF(right, middle), QPointF(back, middle + 4)]))
