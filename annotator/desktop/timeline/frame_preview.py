"""A larger view of the frame under the pointer, above the timeline. It appears at once and does not animate."""

from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import write
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import BAND_CORNER, ROW, SMALL_SIZE, UNIT
from annotator.model.timecode import Ms, clock

HEIGHT = 112
"""Pixels of the picture in it."""


class FramePreview(QWidget):
    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._within = parent
        self._theme = theme
        self._picture = QPixmap()
        self.time_text = ""
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.hide()

    def show_frame(self, picture: QPixmap, at: Ms, x: int, bottom: int) -> None:
        """Stand over `x`, with the lower edge at `bottom`, both in the parent's pixels; within the parent."""
        self._picture = picture
        self.time_text = clock(at)
        self.setAccessibleName(f"Frame at {self.time_text}")
        wide = round(picture.width() / picture.devicePixelRatio()) if not picture.isNull() else 0
        high = HEIGHT if wide else 0
        self.resize(max(wide, 25 * UNIT) + 2 * UNIT, high + ROW + UNIT)
        most = self._within.width() - self.width() - UNIT
        self.move(min(max(x - self.width() // 2, UNIT), most), bottom - self.height())
        self.show()
        self.raise_()
        self.update()

    def picture_area(self) -> QRect:
        """Where the picture stands in it."""
        size = self._picture.deviceIndependentSize()
        return QRectF((self.width() - size.width()) / 2, UNIT, size.width(), size.height()).toRect()

    def paintEvent(self, event: QPaintEvent) -> None:
        colours = self._theme.colours
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(colours.muted), 1))
        painter.setBrush(QColor(colours.raised))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), BAND_CORNER, BAND_CORNER)
        if not self._picture.isNull():
            painter.drawPixmap(self.picture_area().topLeft(), self._picture)
        painter.setFont(typeface.clock(SMALL_SIZE))
        words = self.rect().adjusted(0, self.height() - ROW, 0, 0)
        write(painter, words, self.time_text, colours.text, Qt.AlignmentFlag.AlignCenter)
        painter.end()
