"""The ruler of the timeline: times at round distances and, zoomed in, a mark for each frame."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import crisp
from annotator.desktop.theme.tokens import SMALL_SIZE
from annotator.desktop.timeline.lane import Look, Words
from annotator.desktop.timeline.scale import Scale, tick_step, tick_text
from annotator.model.timecode import Ms

_CLOSEST = 10.0
"""Pixels from one frame to the next below which their marks would be a comb."""

_LOOP = 3.0
"""Pixels: how thick the bracket over a loop is."""

_FIGURES = 17.0
"""Pixels: the height of its lower part, where the figures stand; above is room for the head of the playhead."""

_WIDEST = 90.0
"""Pixels: no figure reaches farther from its mark."""

_MARK = 5
"""Pixels: the height of a frame's mark."""


class Ruler:
    """The frame on screen is set off from its neighbours once each can be seen."""

    name = ""
    height = 24

    def paint(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> Sequence[Words]:
        frames = [crisp(scale.x(at)) for at in _frames(scale, look)]
        if frames:
            self._paint_shown_frame(painter, area, scale, look)
            painter.setPen(QPen(QColor(look.colours.muted), 1))
            bottom = area.bottom()
            painter.drawLines([QLineF(x, bottom - _MARK, x, bottom) for x in frames])
        step = tick_step(scale)
        font, words = typeface.figures(SMALL_SIZE), []
        metrics = QFontMetricsF(font)
        # Only what may be seen: while it plays, that is a narrow strip about the playhead, many times a second.
        first, last = max(scale.start, scale.at(look.left - _WIDEST)), min(scale.end, scale.at(look.right))
        at = -(-first // step) * step
        while at <= last:
            x, text = crisp(scale.x(at)), tick_text(at, step)
            painter.setPen(QPen(QColor(look.colours.line), 1))
            painter.drawLine(QPointF(x, area.top() + 4), QPointF(x, area.bottom()))
            if x + 5 + metrics.horizontalAdvance(text) <= area.right():
                place = QRectF(x + 5, area.bottom() - _FIGURES, area.right() - x - 5, _FIGURES)
                words.append(Words(place, text, font, look.colours.muted, look.colours.panel))
            at += step
        self._paint_loop(painter, area, scale, look)
        return words

    def _paint_loop(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        """A bracket over what is played over and over."""
        if look.loop is None:
            return
        left, right, top = scale.x(look.loop.start), scale.x(look.loop.end), area.top() + 2
        painter.fillRect(QRectF(left, top, right - left, _LOOP), QColor(look.colours.accent))
        for x in (left, right - _LOOP):
            painter.fillRect(QRectF(x, top, _LOOP, area.bottom() - top), QColor(look.colours.accent))

    def _paint_shown_frame(self, painter: QPainter, area: QRectF, scale: Scale, look: Look) -> None:
        left, right = scale.x(look.at), scale.x(look.at + look.frames.frame_length(look.at))
        painter.fillRect(QRectF(left, area.top(), right - left, area.height()), QColor(look.colours.accent_ground))


def _frames(scale: Scale, look: Look) -> list[Ms]:
    """The times of the visible frames, on the case's clock; none where they lie too close."""
    found: list[Ms] = []
    for number, border in enumerate(look.case.borders[:-1]):
        index = look.frames.index(number)
        if index is None or not scale.shows(border, look.case.borders[number + 1]):
            continue
        first, after = np.searchsorted(index.times, (scale.start - border, scale.end - border + 1))
        if (len(found) + after - first) * _CLOSEST > scale.width:
            return []
        found += (index.times[first:after] + border).tolist()
    return found
