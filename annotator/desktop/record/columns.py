"""Where the parts of a line of the tag list are, for painting and for the fields that are typed in."""

from typing import NamedTuple

from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QFontMetrics

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import SMALL_SIZE, UNIT

TIME_FIELD, CHOICE_FIELD = 100, 196
"""Pixels that a typed time, and a choice of who did it, need."""


class LineColumns(NamedTuple):
    """From left to right; `sign` is the middle of the mark, `end` the right edge."""

    time: QRect
    sign: QPoint
    name: QRect
    length: QRect
    end: int

    def last(self, width: int) -> QRect:
        """So many pixels at the right end of the line."""
        return QRect(self.end - width, self.time.top(), width, self.time.height())

    def after(self, left: int) -> QRect:
        """From there to the right end of the line."""
        return QRect(left, self.time.top(), self.end - left, self.time.height())


def columns_of(area: QRect, indented: bool, hours: bool, length: int = 0) -> LineColumns:
    """The columns of a line; times, with their hours or without, marks and durations stand under one another, what is
    indented begins later. `length` is how many pixels the duration takes; the name has what is left.
    """
    top, height = area.top(), area.height()
    left = area.left() + 4 * UNIT
    time = QFontMetrics(typeface.figures(SMALL_SIZE)).horizontalAdvance("00:00:00.000" if hours else "00:00.000") + 1
    sign = left + time + (8 if indented else 4) * UNIT
    end = area.right() - 3 * UNIT + 1
    name = sign + 3 * UNIT
    return LineColumns(
        time=QRect(left, top, time, height),
        sign=QPoint(sign, area.center().y() + 1),
        name=QRect(name, top, end - name - (length + UNIT if length else 0), height),
        length=QRect(end - length, top, length, height),
        end=end,
    )
