"""The picture: the shown frame at its right shape, with step and clock in a corner; or why there is none."""

from collections.abc import Sequence

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QAction, QColor, QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtMultimedia import QVideoFrame
from PySide6.QtWidgets import QSizePolicy, QWidget

from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import PICTURE_GROUND
from annotator.desktop.workspace.caption import Caption, paint_caption
from annotator.desktop.workspace.no_picture import NoPicture


class Picture(QWidget):
    """Paints what the player shows. A frame is turned into pixels only when it is painted."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._frame: QVideoFrame | None = None
        self._image = QImage()
        self._shape = 0.0
        self._caption = Caption()
        self._none = NoPicture(theme, self)
        self.shows_caption = True
        self.setAccessibleName("Picture")
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setMinimumSize(320, 180)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    @property
    def image(self) -> QImage:
        """The frame on screen as pixels."""
        if self._frame is not None:
            self._image, self._frame = self._frame.toImage(), None
        return self._image

    def show_picture(self, picture: object, shape: float) -> None:
        """Show a QVideoFrame or QImage, `shape` being its width to height; None for no picture."""
        self._frame = picture if isinstance(picture, QVideoFrame) else None
        self._image = picture if isinstance(picture, QImage) else QImage()
        self._shape = shape
        self.update()

    def show_caption(self, caption: Caption) -> None:
        """What the shown frame is tagged with, and its time; nothing where it is not tagged."""
        if caption != self._caption:
            self._caption = caption
            self.update()

    def show_words(self, says: str, sign: Icon = Icon.MISSING, offers: Sequence[QAction] = ()) -> None:
        """Words instead of a picture, and what can be done; empty for none."""
        self._none.show_words(says, sign, offers)
        self.setAccessibleDescription(says)
        self.update()

    @property
    def words(self) -> str:
        """What stands in place of the picture; empty while there is one."""
        return self._none.words

    def picture_area(self) -> QRect:
        """Where the picture stands in the widget."""
        image = self.image
        if image.isNull():
            return QRect()
        shape = self._shape or image.width() / image.height()
        width = min(float(self.width()), self.height() * shape)
        height = width / shape
        left, top = (self.width() - width) / 2, (self.height() - height) / 2
        return QRectF(left, top, width, height).toRect()

    def sizeHint(self) -> QSize:
        return QSize(854, 480)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._none.setGeometry(self.rect())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.SmoothPixmapTransform | QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(PICTURE_GROUND))
        if not self.words and not self.image.isNull():
            painter.drawImage(self.picture_area(), self.image)
            if self.shows_caption and self._caption.step:
                paint_caption(painter, self._caption, self.picture_area())
        painter.end()
