"""Ranges too short for more than a stroke: all of them as one image, a hundred times as quick as one by one."""

from collections.abc import Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from annotator.desktop.timeline.lane import Look
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.thinning import THIN, Extents
from annotator.model.vocabulary import Vocabulary


@lru_cache(maxsize=64)
def colour_of(name: str) -> QColor:
    return QColor(name)  # not the class itself: to wrap it, Qt's binding would first write out its documentation


class Strokes:
    """Of ranges, each under a concept: `kinds` are the places of these in the vocabulary."""

    def __init__(self, vocabulary: Vocabulary, extents: Extents, kinds: NDArray[np.intp]) -> None:
        self._concepts = vocabulary.concepts
        self._extents = extents
        self._kinds = kinds

    def paint(self, painter: QPainter, numbers: NDArray[np.intp], top_row: QRectF, scale: Scale, look: Look) -> None:
        """Paint those of these numbers, each in its row; `top_row` is where the first row lies."""
        if not len(numbers):
            return
        rows = self._extents.rows(numbers)
        lefts = np.rint(self._extents.lefts(numbers, scale)).astype(np.int64)
        left, colours = int(lefts.min()), self._colours(self._kinds[numbers], look)
        pixels = np.zeros((int(rows.max()) + 1, int(lefts.max()) - left + THIN), np.uint32)
        for by in range(THIN):
            pixels[rows, lefts - left + by] = colours
        height, width = pixels.shape
        image = QImage(pixels.data, width, height, pixels.strides[0], QImage.Format.Format_ARGB32_Premultiplied)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)  # no paler at the edges
        painter.drawImage(QRectF(left, top_row.top(), width, height * top_row.height()), image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)

    def _colours(self, kinds: NDArray[np.intp], look: Look) -> NDArray[np.uint32]:
        """As Qt's images have them."""
        found = np.zeros(len(self._concepts), np.uint32)
        for kind in np.flatnonzero(np.bincount(kinds)).tolist():
            found[kind] = colour_of(look.ground(self._concepts[kind].iri)).rgba()
        return found[kinds]


def kinds_of(vocabulary: Vocabulary, concepts: Iterable[str]) -> NDArray[np.intp]:
    """The places of concepts in a vocabulary that knows them all."""
    place_of = {concept.iri: place for place, concept in enumerate(vocabulary.concepts)}
    return np.array([place_of[concept] for concept in concepts], dtype=np.intp)


def joined(parts: Iterable[NDArray[np.intp]]) -> NDArray[np.intp]:
    return np.concatenate([np.empty(0, np.intp), *parts])
