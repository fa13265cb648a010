"""Ranges too short for more than a stroke: all of one colour at once, many times as quick as one by one."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from annotator.desktop.timeline.lane import Look
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.thinning import THIN, Extents
from annotator.model.vocabulary import Vocabulary


class Strokes:
    """Of ranges, each under a concept: `kinds` are the places of these in the vocabulary."""

    def __init__(self, vocabulary: Vocabulary, extents: Extents, kinds: NDArray[np.intp]) -> None:
        self._concepts = vocabulary.concepts
        self._extents = extents
        self._kinds = kinds

    def paint(self, painter: QPainter, numbers: NDArray[np.intp], top_row: QRectF, scale: Scale, look: Look) -> None:
        """Paint those of these numbers, each in its row; `top_row` is where the first row lies."""
        height = top_row.height()
        tops = top_row.top() + self._extents.rows(numbers) * height
        lefts, kinds = self._extents.lefts(numbers, scale), self._kinds[numbers]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)  # twice as quick, and no paler at the edges
        for kind in np.flatnonzero(np.bincount(kinds)).tolist():
            places = zip(lefts[kinds == kind].tolist(), tops[kinds == kind].tolist(), strict=True)
            painter.setBrush(QColor(look.phases.get(self._concepts[kind].iri, look.colours.bar)))
            painter.drawRects([QRectF(left, top, THIN, height) for left, top in places])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)


def kinds_of(vocabulary: Vocabulary, concepts: Iterable[str]) -> NDArray[np.intp]:
    """The places of concepts in a vocabulary that knows them all."""
    place_of = {concept.iri: place for place, concept in enumerate(vocabulary.concepts)}
    return np.array([place_of[concept] for concept in concepts], dtype=np.intp)


def joined(parts: Iterable[NDArray[np.intp]]) -> NDArray[np.intp]:
    return np.concatenate([np.empty(0, np.intp), *parts])
