"""The whole case in miniature, above the timeline."""

from collections.abc import Container, Sequence
from functools import partial
from itertools import chain, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import crisp, write
from annotator.desktop.theme.tokens import BAND_CORNER, UNIT
from annotator.desktop.timeline.lane import Look, Words, extent, recording_name
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strokes import Strokes, joined, kinds_of
from annotator.desktop.timeline.thinning import Extents, Table, of_tags
from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
from annotator.model.vocabulary import Vocabulary
from annotator.publish.report.phase_colours import phase_fills

_STRIP, _NAMES = 20, 16
"""Heights in pixels: of the miniature, and of the names of several recordings over it."""


class _Part(NamedTuple):
    """Neighbouring tags that have a phase, their ranges and kinds."""

    tags: list[Tag]
    table: Table
    kinds: NDArray[np.intp]


class Overview:
    """The whole case in miniature, with the visible stretch framed; over several recordings stand their names."""

    name = "whole case"

    def __init__(self, case: Case) -> None:
        phases = phase_fills(case.vocabulary)
        self.terms = frozenset(phases)
        with_phase = partial(_with_phase, case.vocabulary, phases)
        parts = case.tag_list.each("overview", (case.vocabulary,), with_phase, _joined)
        self._tags = list(chain.from_iterable(part.tags for part in parts))
        self._extents = Extents.joined(part.table for part in parts)
        self._strokes = Strokes(case.vocabulary, self._extents, joined(part.kinds for part in parts))
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
            tag = self._tags[number]
            painter.fillRect(area, QColor(look.ground(tag.concept, tag.id)))

    def _paint_names(self, painter: QPainter, area: QRectF, whole: Scale, look: Look) -> None:
        painter.setFont(typeface.small())
        for number, (start, end) in enumerate(pairwise(look.case.borders)):
            left, right = whole.x(start) + UNIT, whole.x(end) - UNIT
            if right - left > 4 * UNIT:
                words = QRectF(left, area.top(), right - left, self._names).toRect()
                write(painter, words, recording_name(look.case, number), look.colours.muted)


def _with_phase(vocabulary: Vocabulary, phases: Container[str], block: Block) -> _Part:
    tags = [tag for tag in block if tag.concept in phases]
    return _Part(tags, of_tags((tag, 0) for tag in tags), kinds_of(vocabulary, (tag.concept for tag in tags)))


def _joined(parts: Sequence[_Part]) -> _Part:
    tags, tables, kinds = zip(*parts, strict=True)
    return _Part(list(chain.from_iterable(tags)), np.concatenate(tables, axis=1), joined(kinds))
