"""The window's icon: an eye over three steps along time, drawn here so that it is sharp at every size."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap

from annotator.desktop.theme.tokens import DARK, PICTURE_GROUND, PICTURE_TEXT

SIZES = (16, 24, 32, 48, 64, 128, 256)
_STEPS = ((0.16, 0.24, DARK.accent), (0.44, 0.16, DARK.warning), (0.64, 0.20, DARK.bar))
"""Where each begins and how long it is, in the icon's width, and its colour."""


def app_icon() -> QIcon:
    made = QIcon()
    for size in SIZES:
        made.addPixmap(_drawn(size))
    return made


def _drawn(size: int) -> QPixmap:
    pixmap = QPixmap(size, size)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.scale(size, size)
    for area, corner, colour in _shapes():
        painter.setBrush(QColor(colour))
        painter.drawRoundedRect(area, corner, corner)
    painter.end()
    return pixmap


def _shapes() -> list[tuple[QRectF, float, str]]:
    """From the ground up, in parts of the icon's width: area, corner, colour."""
    eye = [
        (QRectF(0.5 - radius, 0.4 - radius, 2 * radius, 2 * radius), radius, colour)
        for radius, colour in ((0.28, PICTURE_TEXT), (0.18, DARK.accent), (0.09, PICTURE_GROUND))
    ]
    steps = [(QRectF(left, 0.76, width, 0.12), 0.03, colour) for left, width, colour in _STEPS]
    return [(QRectF(0, 0, 1, 1), 0.2, DARK.panel), *eye, *steps]
