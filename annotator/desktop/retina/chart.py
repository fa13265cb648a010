"""The retina chart: shows a place and lets it be changed by pointer or keys; see model/retina for its geometry."""

from functools import partial
from typing import NamedTuple

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QPoint, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QListView, QSizePolicy, QToolTip, QWidget

from annotator.desktop.retina.fields import FieldModel
from annotator.desktop.retina.painting import ChartContent, paint_chart
from annotator.desktop.retina.shape import SMALL, ChartShape
from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.widgets.shortcut_menu import Choice, ItemMenu, MenuItem
from annotator.model.case import Eye
from annotator.model.place import ARCADES, AREAS, FIELDS, NO_HOUR, ZONES, Field, Place
from annotator.model.retina import View, at_hour, beside, centre, field_in_words, place_in_words, view_in_words
from annotator.plain_text import capitalised

_MOVES = {
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}
_TO_HOUR = {Qt.Key.Key_Home: 12, Qt.Key.Key_End: 6}


class _Gesture(NamedTuple):
    """A drag under way: whether it chooses fields or frees them, where the pointer is, and what it has come to."""

    chooses: bool
    at: QPointF
    place: Place


class RetinaChart(QListView):
    """A list of fields to Qt and to screen readers, a disc to the eye.

    place_edited  the place as it is after a gesture or a key that changed it
    left          Escape was pressed
    """

    place_edited = Signal(object)
    left = Signal()

    def __init__(self, theme: Theme, radius: int = SMALL, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("needs", "arrows")
        self._theme = theme
        self._shown = ChartContent()
        self._gesture: _Gesture | None = None
        self.at = Field(12, "far periphery")
        self.shape = ChartShape(radius)
        self.fields = FieldModel()
        self.fields.setParent(self)
        self.setModel(self.fields)
        self.setAccessibleName("Retina chart")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setFixedSize(self.shape.size)
        theme.changed.connect(self.viewport().update)
        ItemMenu(self, self._offers)
        self._point_to(self.at)

    # --- what it shows -------------------------------------------------------------------------------------

    @property
    def place(self) -> Place:
        """What is drawn: the place, or what a drag under way makes of it."""
        return self._gesture.place if self._gesture else self._shown.place

    @property
    def read_only(self) -> bool:
        return self.fields.read_only

    def show_place(self, place: Place, eye: Eye | None, view: View, *, read_only: bool = False) -> None:
        """Show a place; a drag under way is dropped, as it belongs to what was there before."""
        self._shown, self._gesture = ChartContent(place, eye, view), None
        self.fields.read_only = read_only
        pointer = Qt.CursorShape.ArrowCursor if read_only else Qt.CursorShape.PointingHandCursor
        self.viewport().setCursor(pointer)
        self._tell()

    def spot(self, field: Field) -> QPointF:
        """A point well within a field, in pixels; the middle of the chart for a part that is not drawn."""
        return self.shape.pixel(*(centre(field, self._shown.view, self._shown.eye) or (0, 0)))

    def _tell(self) -> None:
        """Let the eye and the screen reader know."""
        _, eye, view = self._shown
        how = "can't be changed here" if self.read_only else "Space selects or clears a field"
        self.setAccessibleDescription(
            f"{place_in_words(self.place)}; {view_in_words(eye, view)}. "
            f"The arrow keys go from field to field, Home to 12 o'clock, End to 6; {how}; Escape leaves."
        )
        self.fields.show_place(self.place)
        self.viewport().update()

    def _point_to(self, field: Field) -> None:
        self.at = field
        self.setCurrentIndex(self.fields.of(field))
        self.viewport().update()

    # --- pointer ---------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        end_typing()
        field = self._field_under(event.position())
        if event.button() is Qt.MouseButton.LeftButton and field is not None and not self.read_only:
            self._point_to(field)
            self._gesture = _Gesture(field not in self._shown.place, event.position(), self._shown.place)
            self._draw_over({field})

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        self.mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._gesture is None:
            return
        start, way = self._gesture.at, event.position() - self._gesture.at
        steps = int(way.manhattanLength() / 2) + 1  # a quick hand skips pixels, but no field
        passed = (self._field_under(start + way * step / steps) for step in range(steps + 1))
        self._gesture = self._gesture._replace(at=event.position())
        self._draw_over({field for field in passed if field is not None})

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._gesture is not None and event.button() is Qt.MouseButton.LeftButton:
            place, self._gesture = self._gesture.place, None
            self._edit(place)

    def _draw_over(self, fields: set[Field]) -> None:
        if self._gesture is not None:
            chooses, _, place = self._gesture
            self._gesture = self._gesture._replace(place=place | fields if chooses else place - fields)
            self._tell()

    def _edit(self, place: Place) -> None:
        if place != self._shown.place:
            self.place_edited.emit(place)
        self._tell()

    def _offers(self, index: QModelIndex) -> list[MenuItem]:
        """The parts that are too thin for the pointer: the lines at the hour of a field, and the arcades."""
        hour = FIELDS[index.row()].hour
        lines = [Field(hour, zone) for zone in ZONES if zone not in AREAS and hour != NO_HOUR]
        arcades = [Field(NO_HOUR, part) for part in ARCADES]
        can_clear = bool(self._shown.place) and not self.read_only
        clear = Choice("Clear place", lambda: self._edit(frozenset()), can_clear)
        return [*map(self._switch, lines), None, *map(self._switch, arcades), None, clear]

    def _switch(self, field: Field) -> Choice:
        does = partial(self._toggle, field)
        return Choice(capitalised(field_in_words(field)), does, not self.read_only, field in self._shown.place)

    def _toggle(self, field: Field) -> None:
        self._edit(self._shown.place ^ {field})

    # --- keys ------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _MOVES:
            clockwise, outward = _MOVES[key]
            self._point_to(beside(self.at, clockwise, outward))
        elif key in _TO_HOUR:
            self._point_to(at_hour(self.at, _TO_HOUR[key]))
        elif key == Qt.Key.Key_Space and not event.isAutoRepeat():
            if not self.read_only:
                self._toggle(self.at)
        elif key == Qt.Key.Key_Escape:
            self.clearFocus()
            self.left.emit()
        else:
            event.ignore()

    # --- Qt's own --------------------------------------------------------------------------------------------

    def viewportEvent(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            field = self._field_under(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), field_in_words(field) if field else "", self)
            return True
        return super().viewportEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        focus = self.at if self.hasFocus() else None
        paint_chart(painter, self.shape, self._shown._replace(place=self.place), self._theme.colours, focus)
        painter.end()

    def visualRect(self, index: QModelIndex | QPersistentModelIndex) -> QRect:
        """Where a field is, for screen readers."""
        return self.shape.outline(FIELDS[index.row()], self._shown.view, self._shown.eye).boundingRect().toAlignedRect()

    def indexAt(self, at: QPoint) -> QModelIndex:
        field = self._field_under(QPointF(at))
        return self.fields.of(field) if field else QModelIndex()

    def sizeHint(self) -> QSize:
        return self.shape.size

    def _field_under(self, at: QPointF) -> Field | None:
        return self.shape.field_under(at, self._shown.view, self._shown.eye)
