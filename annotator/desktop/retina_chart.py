"""The retina chart: shows a place and lets it be changed by pointer or keys; see model/retina for its geometry."""

from typing import NamedTuple

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from annotator.desktop import typeface
from annotator.desktop.theme import Theme
from annotator.model.case import Eye
from annotator.model.place import HOURS, Field, Place
from annotator.model.retina import (
    FIELDS,
    View,
    angle_of,
    beside,
    centre,
    field_at,
    field_in_words,
    place_in_words,
    point,
    sides,
    view_in_words,
    wedge,
)

_HEAD = 16
"""Pixels above the disc for the words that say which way round it is."""
_HOURS = 17
"""Pixels around the disc for the clock hours."""
_SIDES = 13
"""Pixels to the left and right of those for the letters of nose and temple."""
_LARGEST, _SMALLEST = 96, 64
"""Radius of the disc in pixels."""
_DISC_AT, _DISC_RADIUS = 0.2, 0.06
"""Where towards the nose the optic disc is drawn, and its size, with the chart's radius as 1."""

_MOVES = {
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class _Gesture(NamedTuple):
    """A drag under way: whether it chooses fields or frees them, where the pointer is, and what it has come to."""

    chooses: bool
    at: QPointF
    place: Place


class RetinaChart(QWidget):
    """place_edited  the place as it is after a gesture or a key that changed it"""

    place_edited = Signal(object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._place: Place = frozenset()
        self._eye: Eye | None = None
        self._view = View.UPRIGHT
        self._gesture: _Gesture | None = None
        self.at = FIELDS[-1]
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        theme.changed.connect(self.update)
        self._tell()

    # --- what it shows -------------------------------------------------------------------------------------

    @property
    def place(self) -> Place:
        """What is drawn: the place, or what a drag under way makes of it."""
        return self._gesture.place if self._gesture else self._place

    def show_place(self, place: Place, eye: Eye | None, view: View) -> None:
        """Show a place; a drag under way is dropped, as it belongs to what was there before."""
        self._place, self._eye, self._view, self._gesture = place, eye, view, None
        self._tell()

    def spot(self, field: Field) -> QPointF:
        """A point well within a field, in pixels."""
        return self._pixel(*centre(field, self._view))

    def _tell(self) -> None:
        """Let the eye and the screen reader know."""
        chosen = "chosen" if self.at in self.place else "not chosen"
        self.setAccessibleName(f"Retina chart: {field_in_words(self.at)}, {chosen}")
        self.setAccessibleDescription(
            f"{place_in_words(self.place)}; {view_in_words(self._eye, self._view)}. "
            "Arrows go from field to field, Space chooses or frees one, Escape leaves."
        )
        self.update()

    # --- pointer ---------------------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        field = self._field_under(event.position())
        if event.button() is Qt.MouseButton.LeftButton and field is not None:
            self.at = field
            self._gesture = _Gesture(field not in self._place, event.position(), self._place)
            self._draw_over({field})

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._gesture is None:
            return
        start, way = self._gesture.at, event.position() - self._gesture.at
        steps = int(way.manhattanLength() / 4) + 1  # a quick hand skips pixels, but no field
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
        if place != self._place:
            self.place_edited.emit(place)
        self._tell()

    # --- keys ------------------------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if key in _MOVES:
            clockwise, outward = _MOVES[key]
            self.at = beside(self.at, clockwise, outward)
            self._tell()
        elif key == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._edit(self._place ^ {self.at})
        elif key == Qt.Key.Key_Escape:
            self.clearFocus()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            field = self._field_under(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), field_in_words(field) if field else "", self)
            return True
        return super().event(event)

    # --- painting --------------------------------------------------------------------------------------------

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = self.place
        for field in FIELDS:
            if field not in chosen:
                self._paint_free(painter, field)
        self._paint_optic_disc(painter)
        for field in chosen:
            self._paint_chosen(painter, field)
        self._paint_words(painter)
        if self.hasFocus():
            self._paint_focus(painter)

    def _paint_free(self, painter: QPainter, field: Field) -> None:
        colours = self._theme.colours
        painter.setPen(QPen(QColor(colours.muted), 1))
        painter.setBrush(QColor(colours.raised))
        painter.drawPath(self._outline(field))

    def _paint_chosen(self, painter: QPainter, field: Field) -> None:
        """Tinted, hatched and with a strong edge, so that it is told without colour."""
        colours, outline = self._theme.colours, self._outline(field)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colours.accent_ground))
        painter.drawPath(outline)
        painter.setPen(QPen(QColor(colours.accent), 2))
        painter.setBrush(QBrush(QColor(colours.accent), Qt.BrushStyle.BDiagPattern))
        painter.drawPath(outline)

    def _paint_optic_disc(self, painter: QPainter) -> None:
        nose = {"N": -1, "T": 1}.get(sides(self._eye, self._view).left)
        if nose is not None:
            radius = _DISC_RADIUS * self._radius
            painter.setPen(QPen(QColor(self._theme.colours.muted), 1.5))
            painter.setBrush(QColor(self._theme.colours.panel))
            painter.drawEllipse(self._pixel(nose * _DISC_AT, 0), radius, radius)

    def _paint_words(self, painter: QPainter) -> None:
        colours = self._theme.colours
        painter.setFont(typeface.small())
        painter.setPen(QColor(colours.muted))
        head, top = QRectF(0, 0, self.width(), _HEAD), Qt.AlignmentFlag.AlignTop
        eye, view = view_in_words(self._eye, self._view).split(", ")
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft | top, eye)
        painter.drawText(head, Qt.AlignmentFlag.AlignRight | top, view)
        out = 1 + _HOURS / 2 / self._radius
        for hour in HOURS:
            self._write(painter, self._pixel(*point(out, angle_of(hour, self._view))), str(hour))
        painter.setFont(typeface.small(strong=True))
        painter.setPen(QColor(colours.text))
        away = self._radius + _HOURS + _SIDES / 2
        for letter, way in zip(sides(self._eye, self._view), (-1, 1), strict=True):
            self._write(painter, self._middle + QPointF(way * away, 0), letter)

    def _paint_focus(self, painter: QPainter) -> None:
        """The field that Space would change: a thick line in the colour of writing on one in the ground's."""
        colours, outline = self._theme.colours, self._outline(self.at)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((colours.panel, 6), (colours.text, 3)):
            painter.setPen(QPen(QColor(colour), width, j=Qt.PenJoinStyle.RoundJoin))
            painter.drawPath(outline)

    def _write(self, painter: QPainter, at: QPointF, text: str) -> None:
        painter.drawText(QRectF(at.x() - 12, at.y() - 8, 24, 16), Qt.AlignmentFlag.AlignCenter, text)

    # --- where things are ------------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        return QSize(2 * (_LARGEST + _HOURS + _SIDES), self.heightForWidth(10_000))

    def minimumSizeHint(self) -> QSize:
        return QSize(2 * (_SMALLEST + _HOURS + _SIDES), self.heightForWidth(0))

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return _HEAD + 2 * (_radius_in(width) + _HOURS)

    @property
    def _radius(self) -> int:
        return _radius_in(self.width())

    @property
    def _middle(self) -> QPointF:
        return QPointF(self.width() / 2, _HEAD + _HOURS + self._radius)

    def _pixel(self, x: float, y: float) -> QPointF:
        return self._middle + QPointF(x, y) * self._radius

    def _field_under(self, at: QPointF) -> Field | None:
        off = (at - self._middle) / self._radius
        return field_at(off.x(), off.y(), self._view)

    def _outline(self, field: Field) -> QPainterPath:
        inner, outer, start, end = wedge(field, self._view)
        path = QPainterPath(self._pixel(*point(inner, start)))
        # Qt counts angles against the clock from the right.
        path.arcTo(self._round(outer), 90 - start, start - end)
        path.arcTo(self._round(inner), 90 - end, end - start)
        path.closeSubpath()
        return path

    def _round(self, radius: float) -> QRectF:
        pixels = radius * self._radius
        return QRectF(self._middle.x() - pixels, self._middle.y() - pixels, 2 * pixels, 2 * pixels)


def _radius_in(width: int) -> int:
    return min(max(width // 2 - _HOURS - _SIDES, _SMALLEST), _LARGEST)
