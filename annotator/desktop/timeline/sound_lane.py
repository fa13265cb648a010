"""The sound of the recordings along the visible range, as a quiet row of strokes."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import write
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.timeline.lane import Look, Words
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.desktop.timeline.strips import Sound
from annotator.model.timecode import Ms

_STROKE, _APART = 2.0, 3.0
"""Pixels: a stroke's width, and from one to the next."""

_STRENGTH = 0.7
"""How much of the colour is seen: less than in words, and still three to one on the panel."""

_QUIETEST = -48.0
"""Decibels below full scale that are drawn as silence; a voice in a theatre lies well above."""


class SoundLane:
    """Each stroke stands for the loudest sample under it, in decibels."""

    name = "sound"
    height = 22

    def __init__(self, maker: StripMaker) -> None:
        self._maker = maker

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        for sound, (start, end) in zip(self._maker.sounds, pairwise(look.case.borders), strict=True):
            if not scale.shows(start, end):
                continue
            if sound.says:
                part = QRectF(scale.x(start), area.top(), scale.x(end) - scale.x(start), area.height())
                painter.setFont(typeface.small())
                words = part.intersected(area).adjusted(2 * UNIT, 0, -2 * UNIT, 0).toRect()
                write(painter, words, sound.says, look.colours.muted)
            else:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(_calm(look.colours.muted))
                seen = max(scale.start, scale.at(look.left - _APART)), min(scale.end, scale.at(look.right))
                painter.drawRects(_strokes(sound, area, scale, (start, end), seen))
        return ()


def _calm(colour: str) -> QColor:
    calm = QColor(colour)
    calm.setAlphaF(_STRENGTH)
    return calm


def _strokes(sound: Sound, area: QRectF, scale: Scale, part: tuple[Ms, Ms], seen: tuple[Ms, Ms]) -> list[QRectF]:
    """Strokes stand at fixed places of the recording, so that they do not flicker when it is moved along."""
    start, begins, ends = part[0], max(part[0], seen[0]), min(part[1], seen[1])
    if sound.peaks is None or ends < begins:
        return []
    pixel = (scale.end - scale.start) / scale.width
    step = _APART * pixel
    first = int((begins - start) // step)
    last = int((ends - start) // step) + 1
    edges = np.arange(first, last + 1) * step
    heights = _heights(sound.peaks.loudest(edges.astype(np.int64))) * (area.height() - 6)
    lefts = scale.x(start) + edges[:-1] / pixel
    middle = area.center().y()
    return [
        QRectF(left, middle - height / 2, _STROKE, height)
        for left, height in zip(lefts.tolist(), heights.tolist(), strict=True)
    ]


def _heights(levels: NDArray[np.uint8]) -> NDArray[np.float64]:
    """From levels to shares of the lane's height; silence is a fine line."""
    decibels = 20 * np.log10(np.maximum(levels, 0.1) / 255)
    return np.maximum(1 - decibels / _QUIETEST, 0.06)
