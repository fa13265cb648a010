"""Where the name of a range stands: inside it, or in the free room at its right where that holds more of it."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import Colours, ink_on
from annotator.desktop.timeline.lane import Words
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import clock

INSIDE, BESIDE = 24, 56
"""Pixels: a range that is no wider has no name inside; with less room beside it, none is begun there."""

_LOWEST = 12
"""Pixels: in a row that is no higher there is no name."""

_SIDE = 6
"""Pixels between a name and the edges around it."""


def name_inside(band: QRectF, text: str, colour: str, *, kept: float = 4) -> Words | None:
    """As much of a name as there is room for on a band of a colour; `kept` pixels at its right end stay free."""
    if band.width() <= INSIDE or band.height() <= _LOWEST:
        return None
    font, inside = typeface.small(strong=True), band.adjusted(_SIDE, 0, -kept, 0)
    fitting = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, inside.width())
    return Words(inside, fitting, font, ink_on(colour), colour) if len(fitting) > 2 else None


def name_beside(band: QRectF, free: float, text: str, colours: Colours) -> Words | None:
    """The name at the right of a band, up to `free`, where that is more of it than the band itself holds."""
    font, beside = typeface.small(), QRectF(band)
    beside.setLeft(band.right() + _SIDE)
    beside.setRight(free - _SIDE)
    metrics = QFontMetricsF(font)
    is_inside = metrics.horizontalAdvance(text) <= band.width() - 2 * _SIDE
    if is_inside or beside.width() <= max(band.width(), BESIDE - 2 * _SIDE) or band.height() <= _LOWEST:
        return None
    fitting = metrics.elidedText(text, Qt.TextElideMode.ElideRight, beside.width())
    beside.setWidth(min(metrics.horizontalAdvance(fitting), beside.width()))
    return Words(beside, fitting, font, colours.text, colours.raised)


def name_over(band: QRectF, area: QRectF, text: str, colours: Colours) -> Words:
    """The whole name of a band beside it, on a plate over whatever is there; left of it near the area's right end."""
    font, over = typeface.small(), QRectF(band)
    width = QFontMetricsF(font).horizontalAdvance(text)
    over.setLeft(band.right() + _SIDE)
    if over.left() + width > area.right():
        over.setLeft(max(band.left() - _SIDE - width, area.left()))
    over.setWidth(width)
    return Words(over, text, font, colours.text, colours.raised, is_plate=True)


def tip_of(case: Case, tag: Tag) -> str:
    """What is said of a tag under the pointer: its name, and below it its times."""
    until = "running" if tag.end is None else clock(tag.end)
    times = clock(tag.start) if tag.start == tag.end else f"{clock(tag.start)} – {until}"
    return f"{name_of(case, tag)}\n{times}"
