"""The bands of the timeline: the tags of a category as bars with their names, moments as diamonds."""

from bisect import bisect_left
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from itertools import chain
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from annotator.desktop.theme.paint import diamond
from annotator.desktop.theme.tokens import BAND_CORNER, ink_on, mixed
from annotator.desktop.timeline.lane import Look, Words, extent
from annotator.desktop.timeline.names import BESIDE, INSIDE, name_beside, name_inside, name_over
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strokes import Strokes, colour_of, joined, kinds_of
from annotator.desktop.timeline.thinning import THIN, Extents, Table, of_tags, table_of
from annotator.measure.rollup import Left, Range, Run, is_free, runs_so_far
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval
from annotator.model.tag_list import Block, place_in_time
from annotator.model.timecode import LATEST, Ms
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, Facet, Vocabulary, label_in

_STRONG, _PLAIN, _ROW = 24, 22, 18
"""Heights in pixels: of a band that holds one tag at a time, of another, and of each row where tags are stacked."""

_BEYOND = 2 * BAND_CORNER
"""Pixels that a band is drawn past what is visible, where it is cut."""

_MOMENT, _RUNNING = 5.5, 14
"""Pixels: half of a moment's diamond, and the room that a running band keeps for its arrow."""


class FacetBand:
    """The tags of one facet; those that overlap are stacked."""

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        self.terms = case.terms(facet.name)
        self._case = case
        parts = _stacked(case, facet)
        self.placed: list[tuple[Tag, int]] = list(chain.from_iterable(part.placed for part in parts))
        self._extents = Extents.joined(part.table for part in parts)
        self.rows = self._extents.most_rows
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
        asked = (scale, area, look.colours, look.phases, self._extents.changes_with(look.at))
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
    colour = look.ground(tag.concept, tag.id)
    return colour if tag.confirmed else mixed(colour, look.colours.raised)


def _row_area(area: QRectF, row: int, rows: int) -> QRectF:
    height = (area.height() - 4) / rows
    return QRectF(area.left(), area.top() + 2 + row * height, area.width(), height)


Taken = tuple[Ms, ...]
"""Until when each row is taken."""

_FREE: Ms = -LATEST


def _still_taken(ends: Sequence[Ms], at: Ms) -> Taken:
    """What of it concerns ranges that begin at a time or later."""
    taken = [end if end > at else _FREE for end in ends]
    while taken and taken[-1] == _FREE:
        taken.pop()
    return tuple(taken)


def _taken_row(ends: list[Ms], start: Ms, end: Ms) -> int:
    """The first row that is free from `start` on, given until when each is taken; it is taken until `end` then."""
    for row, reached in enumerate(ends):
        if reached <= start:
            ends[row] = end
            return row
    ends.append(end)
    return len(ends) - 1


class _Rows(NamedTuple):
    """Neighbouring tags of a facet, or runs of what they imply, each with its row; their ranges and kinds."""

    placed: Sequence[tuple[Any, int]]
    table: Table
    kinds: NDArray[np.intp]


def _joined(parts: Sequence[_Rows]) -> _Rows:
    placed, tables, kinds = zip(*parts, strict=True)
    return _Rows(list(chain.from_iterable(placed)), np.concatenate(tables, axis=1), joined(kinds))


def _stacked(case: Case, facet: Facet) -> list[_Rows]:
    """Each tag of a facet with its row: none hides another."""
    terms = case.terms(facet.name)

    def follow(block: Block, taken: Taken) -> tuple[_Rows, Taken]:
        tags = [tag for tag in block if tag.concept in terms] if not terms.isdisjoint(block.concepts) else []
        ends = list(taken)
        placed = [(tag, _taken_row(ends, *case.range_of(tag))) for tag in tags]
        kinds = kinds_of(case.vocabulary, (tag.concept for tag in tags))
        return _Rows(placed, of_tags(placed), kinds), _still_taken(ends, block[-1].start)

    free: Taken = ()
    return case.tag_list.walk(f"rows of {facet.name}", (case.vocabulary, case.duration), free, follow, _joined)[0]


class ImpliedBand:
    """A facet that nobody tagged, as its narrower tags imply it: phases from their steps. Only to be looked at."""

    def __init__(self, case: Case, facet: Facet) -> None:
        self.facet = facet
        self.name = label_in(facet.label, DEFAULT_LANGUAGE).lower()
        self.terms = frozenset(
            iri for iri, line in case.vocabulary.lines.items() if any(one.facet == facet.name for one in line)
        )
        parts = _implied(case, facet, self.terms)
        self._runs: list[tuple[Run, int]] = list(chain.from_iterable(part.placed for part in parts))
        self._extents = Extents.joined(part.table for part in parts)
        self._rows = self._extents.most_rows
        self._strokes = Strokes(case.vocabulary, self._extents, joined(part.kinds for part in parts))
        self.height = max(_STRONG, self._rows * _ROW + 4)

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        _paint_ground(painter, area, look)
        full, strokes = self._extents.worth_painting(scale, look.at, look.left, look.right)
        self._strokes.paint(painter, strokes, _row_area(area, 0, self._rows), scale, look)
        for number in full:
            concept = self._runs[number][0].concept
            band = self._place(number, area, scale, look.at).intersected(area)
            _bar(painter, band, look.ground(concept.iri))
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
        colour = look.ground(concept.iri)
        return beside or name_inside(band.intersected(area), name, colour)


def _implied(case: Case, facet: Facet, terms: AbstractSet[str]) -> list[_Rows]:
    """The runs of what tags imply of a facet above theirs, each with its row."""

    def follow(block: Block, before: tuple[Left, Taken]) -> tuple[_Rows, tuple[Left, Taken]]:
        found, left = runs_so_far(_ranges(case.vocabulary, facet.name, terms, block), before[0])
        ends = list(before[1])
        return _rows_of(case, found, ends), (left, _still_taken(ends, left.begins(block[-1].start)))

    start: tuple[Left, Taken] = Left(), ()
    parts, (left, taken) = case.tag_list.walk(f"runs of {facet.name}", (case.vocabulary,), start, follow, _joined)
    return [*parts, _rows_of(case, left.runs, list(taken))]


def _rows_of(case: Case, runs: Sequence[Run], ends: list[Ms]) -> _Rows:
    placed = [(one, _taken_row(ends, one.start, one.end)) for one in runs]
    table = table_of((one.start, None if one.end == LATEST else one.end, row) for one, row in placed)
    return _Rows(placed, table, kinds_of(case.vocabulary, (one.concept.iri for one in runs)))


def _ranges(vocabulary: Vocabulary, facet: str, terms: AbstractSet[str], block: Block) -> list[Range]:
    """What a block's tags imply; a running one lasts, up to the playhead, for ever."""
    above: dict[str, tuple[Concept, bool]] = {}
    for concept in (vocabulary.by_iri[iri] for iri in block.concepts & terms):
        above[concept.iri] = vocabulary.lineage(concept, facet)[0], is_free(vocabulary, concept, facet)
    below = (tag for tag in block if tag.concept in above)
    return [Range(tag.start, LATEST if tag.end is None else tag.end, *above[tag.concept]) for tag in below]


def _paint_ground(painter: QPainter, area: QRectF, look: Look) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour_of(look.colours.raised))
    painter.drawRoundedRect(area.adjusted(0, 2, 0, -2), BAND_CORNER, BAND_CORNER)


def _bar(painter: QPainter, area: QRectF, colour: str) -> None:
    shown = area.adjusted(0.5, 0, -0.5, 0)
    shown.setWidth(max(shown.width(), 2))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour_of(colour))
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
