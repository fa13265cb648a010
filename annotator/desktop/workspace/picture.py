"""The picture: the shown frame in its right shape, with step and clock in a corner; or why there is none.

The wheel zooms about the pointer, dragging moves what is zoomed, a double click shows all of it or its own pixels.
"""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QImage,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtMultimedia import QVideoFrame
from PySide6.QtWidgets import QApplication, QSizePolicy, QWidget

from annotator.desktop.retina.overlay import field_under, paint_overlay
from annotator.desktop.retina.painting import ChartContent
from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import PICTURE_GROUND, UNIT
from annotator.desktop.workspace.caption import Caption, paint_caption
from annotator.desktop.workspace.no_picture import NoPicture
from annotator.desktop.workspace.zoom import Room, Zoom
from annotator.desktop.workspace.zoom_figure import ZoomFigure

_STEP = 1.25
"""How much larger one notch of the wheel, or one press of a key, makes the picture."""

_NOTCH = 120
"""Eighths of a degree by which a wheel turns at once: Qt's own unit (QWheelEvent::angleDelta)."""

_MOVE = 0.15
"""How much of the view one press of a key moves the picture by."""


class Picture(QWidget):
    """Paints what the player shows. A frame is turned into pixels only when it is painted.

    zoom_changed  the picture is seen whole again, or no longer
    asked         for a menu, at a point of the screen
    pointed       a field of the chart over the picture was clicked
    """

    zoom_changed = Signal()
    asked = Signal(QPoint)
    pointed = Signal(object)

    def __init__(self, actions: Mapping[str, QAction], theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._frame: QVideoFrame | None = None
        self._image = QImage()
        self._shape = 0.0
        self._height = 0
        self._zoom = Zoom()
        self._dragged_at: QPointF | None = None
        self._pressed_at: QPointF | None = None
        self._chart: ChartContent | None = None
        self._takes_clicks = False
        self._kept_free = 0
        self._figure = ZoomFigure(actions["fit_picture"], self)
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

    def show_picture(self, picture: object, shape: float, height: int = 0) -> None:
        """Show a QVideoFrame or QImage; `shape` is its width to height, `height` that of the recording's own pictures,
        as this one may be of a small copy. Of either, 0 is for what the picture itself has.
        """
        self._frame = picture if isinstance(picture, QVideoFrame) else None
        self._image = picture if isinstance(picture, QImage) else QImage()
        self._shape, self._height = shape, height
        if not self._zoom.is_fitted:
            self._place_figure()
        self.update()

    def show_caption(self, caption: Caption) -> None:
        """What the shown frame is tagged with, and its time; nothing where it is not tagged."""
        if caption != self._caption:
            self._caption = caption
            self.update()

    def show_chart(self, chart: ChartContent | None, *, takes_clicks: bool = False) -> None:
        """Lay the retina chart over the picture, or none; a click then says a field, if that is asked for."""
        if (chart, takes_clicks) != (self._chart, self._takes_clicks):
            self._chart, self._takes_clicks = chart, takes_clicks
            self._show_grip()
            self.update()

    def keep_free(self, pixels: int) -> None:
        """Show the picture, and nothing else, below so many pixels, which something else takes."""
        self._kept_free = pixels
        self._use_zoom(self._zoom)

    def show_words(self, says: str, sign: Icon = Icon.MISSING, offers: Sequence[QAction] = ()) -> None:
        """Words instead of a picture, and what can be done; empty for none."""
        self._none.show_words(says, sign, offers)
        self.setAccessibleDescription(says)
        self._figure.setVisible(self.is_zoomed and not says)
        self.update()

    @property
    def words(self) -> str:
        """What stands in place of the picture; empty while there is one."""
        return self._none.words

    def picture_area(self) -> QRect:
        """Where the picture stands in the widget; zoomed, it goes beyond."""
        return QRect() if self.image.isNull() else self._zoom.area(self._room).toRect()

    @property
    def _room(self) -> Room:
        # Only where it must be: a frame that is never painted need not be turned into pixels.
        shape = self._shape or self.image.width() / max(self.image.height(), 1) or 1.0
        view = QRectF(0, self._kept_free, self.width(), max(self.height() - self._kept_free, 1))
        width = min(view.width(), view.height() * shape)
        fitted = QRectF(0, 0, width, width / shape)
        fitted.moveCenter(view.center())
        own = (self._height or self.image.height() or 1) / self.devicePixelRatioF()
        return Room(view, fitted, own / fitted.height())

    def sizeHint(self) -> QSize:
        return QSize(854, 480)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._none.setGeometry(self.rect())
        self._use_zoom(self._zoom)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHints(QPainter.RenderHint.SmoothPixmapTransform | QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(PICTURE_GROUND))
        if not self.words and not self.image.isNull():
            room = self._room
            painter.drawImage(self._zoom.area(room), self.image)
            if self._chart is not None:
                paint_overlay(painter, self._zoom.area(room), self._chart)
            if self.shows_caption and self._caption.step and not self._kept_free:
                paint_caption(painter, self._caption, room.fitted.toRect())
        painter.end()

    # --- zoom ------------------------------------------------------------------------------------------------------

    @property
    def zoom_text(self) -> str:
        """How large the picture is, as it is said on it; empty while all of it is seen."""
        return "" if self._zoom.is_fitted else self._figure.text

    @property
    def is_zoomed(self) -> bool:
        return not self._zoom.is_fitted

    def zoom_picture_in(self) -> None:
        self._zoom_by(_STEP, self._room.view.center())

    def zoom_picture_out(self) -> None:
        self._zoom_by(1 / _STEP, self._room.view.center())

    def fit_picture(self) -> None:
        """Show all of the picture."""
        self._use_zoom(Zoom())

    def actual_size(self) -> None:
        """Show one pixel of the picture on one of the screen."""
        room = self._room
        self._zoom_by(room.actual / self._zoom.factor, room.view.center())

    def pan_left(self) -> None:
        self._move_by(_MOVE * self.width(), 0)

    def pan_right(self) -> None:
        self._move_by(-_MOVE * self.width(), 0)

    def pan_up(self) -> None:
        self._move_by(0, _MOVE * self.height())

    def pan_down(self) -> None:
        self._move_by(0, -_MOVE * self.height())

    def _move_by(self, right: float, down: float) -> None:
        self._use_zoom(self._zoom.moved(QPointF(right, down), self._room))

    def _zoom_by(self, by: float, about: QPointF) -> None:
        if not self.words and not self.image.isNull():
            self._use_zoom(self._zoom.zoomed(by, about, self._room))

    def _use_zoom(self, zoom: Zoom) -> None:
        was_zoomed, self._zoom = self.is_zoomed, zoom
        self._figure.setVisible(self.is_zoomed)
        if self.is_zoomed:
            self._place_figure()
        self._show_grip()
        self.update()
        if was_zoomed != self.is_zoomed:
            self.zoom_changed.emit()

    def _place_figure(self) -> None:
        percent = 100 * self._zoom.factor / self._room.actual
        self._figure.show_percent(percent, self.width() - 3 * UNIT, 3 * UNIT)
        self._figure.setVisible(not self.words)

    def _show_grip(self) -> None:
        if self._dragged_at is not None:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif self._takes_clicks:
            self.setCursor(Qt.CursorShape.CrossCursor)
        elif self.is_zoomed:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        else:
            self.unsetCursor()

    # --- the pointer -----------------------------------------------------------------------------------------------

    def wheelEvent(self, event: QWheelEvent) -> None:
        self._zoom_by(_STEP ** (event.angleDelta().y() / _NOTCH), event.position())
        event.accept()

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QNativeGestureEvent) and event.gestureType() is Qt.NativeGestureType.ZoomNativeGesture:
            self._zoom_by(1 + event.value(), event.position())
            return True
        return super().event(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.asked.emit(event.globalPos())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._pressed_at = event.position() if event.button() is Qt.MouseButton.LeftButton else None
        if event.button() in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton) and self.is_zoomed:
            self._dragged_at = event.position()
            self._show_grip()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._dragged_at is not None:
            by, self._dragged_at = event.position() - self._dragged_at, event.position()
            self._move_by(by.x(), by.y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        pressed, self._pressed_at, self._dragged_at = self._pressed_at, None, None
        self._show_grip()
        if pressed is not None and (event.position() - pressed).manhattanLength() < QApplication.startDragDistance():
            self._point_at(event.position())

    def _point_at(self, at: QPointF) -> None:
        if self._chart is None or not self._takes_clicks or self.words or self.image.isNull():
            return
        field = field_under(at, self._zoom.area(self._room), self._chart)
        if field is not None:
            self.pointed.emit(field)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if event.button() is not Qt.MouseButton.LeftButton or self._takes_clicks:
            self.mousePressEvent(event)  # two quick clicks are two
            return
        if self.is_zoomed:
            self.fit_picture()
        elif not self.words and not self.image.isNull():
            self._use_zoom(self._zoom.nearer(event.position(), self._room))
