"""The words in a corner of the picture: step, other tags of the frame, and the time."""

from typing import NamedTuple

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter

from annotator.desktop.theme import typeface
from annotator.desktop.theme.tokens import CAPTION_GROUND, CORNER, PICTURE_MUTED, PICTURE_TEXT, UNIT
from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.timecode import Ms, clock

_GAP = 3 * UNIT

_MOST = 0.8
"""Share of the picture's width that the words may take: many recorders write into its right corner."""


class Caption(NamedTuple):
    """The step, or what comes first where there is none; the rest; the time. Empty where nothing is tagged."""

    step: str = ""
    rest: str = ""
    time: str = ""


def caption_of(case: Case, tags: list[Tag], at: Ms) -> Caption:
    """Of a frame: the finest exclusive facet first, as that is the step, then the others in their order."""
    exclusive = [facet.name for facet in case.vocabulary.facets if facet.exclusive]

    def fineness(tag: Tag) -> int:
        facet = case.facet_of(tag)
        return exclusive.index(facet.name) if facet and facet.name in exclusive else -1

    if not tags:
        return Caption()
    step = max(tags, key=fineness)
    rest = [name_of(case, tag) for tag in tags if tag is not step]
    return Caption(name_of(case, step), " · ".join(rest), clock(at))


def paint_caption(painter: QPainter, caption: Caption, picture: QRect) -> None:
    """One line in the lower left corner; what does not fit is cut from the rest first."""
    fonts = typeface.text(strong=True), typeface.text(), typeface.figures()
    most = round(_MOST * picture.width()) - 4 * UNIT - 2 * _GAP
    words = _fitted(caption, fonts, most)
    widths = [_width(font, text) for font, text in zip(fonts, words, strict=True)]
    box = QRectF(picture.left() + 4 * UNIT, picture.bottom() - 11 * UNIT, 0, 7 * UNIT)
    box.setWidth(sum(widths) + _GAP * (sum(map(bool, words)) + 1))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(CAPTION_GROUND))
    painter.drawRoundedRect(box, CORNER, CORNER)
    left = box.left() + _GAP
    for font, text, width, colour in zip(fonts, words, widths, (PICTURE_TEXT, *[PICTURE_MUTED] * 2), strict=True):
        if text:
            painter.setFont(font)
            painter.setPen(QColor(colour))
            painter.drawText(QRectF(left, box.top(), width + 1, box.height()), Qt.AlignmentFlag.AlignVCenter, text)
            left += width + _GAP


def _fitted(caption: Caption, fonts: tuple[QFont, QFont, QFont], most: int) -> tuple[str, str, str]:
    """The words as they fit into `most` pixels; the step is the last to be cut."""
    step, rest, time = caption
    left = most - _width(fonts[0], step) - _width(fonts[2], time) - 2 * _GAP
    if left < 15 * UNIT:
        rest = ""
    if left < -_GAP:
        time = ""
    elide = Qt.TextElideMode.ElideRight
    return (
        QFontMetrics(fonts[0]).elidedText(step, elide, most),
        QFontMetrics(fonts[1]).elidedText(rest, elide, left),
        time,
    )


def _width(font: QFont, text: str) -> int:
    return QFontMetrics(font).horizontalAdvance(text)
