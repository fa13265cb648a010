"""The timeline: the case along time. Click to go there, wheel to zoom about the pointer, drag an edge to move it."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QScrollBar, QSizePolicy, QToolTip, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.playback.frame_numbers import FrameNumbers
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.timeline.bands import FacetBand
from annotator.desktop.timeline.drag import Drag, Grip
from annotator.desktop.timeline.film_lane import FilmLane
from annotator.desktop.timeline.frame_strip import FrameStrip
from annotator.desktop.timeline.hits import GRAB, Hits
from annotator.desktop.timeline.lane import Lane, Look, Words
from annotator.desktop.timeline.lanes import Lanes, LaneSet, Tagged, kept_over, lanes_for
from annotator.desktop.timeline.names import tip_of
from annotator.desktop.timeline.overview import Overview
from annotator.desktop.timeline.painting import (
    LONGEST_NAME,
    REACH,
    Areas,
    changed_between,
    paint_lanes,
    paint_playhead,
    paint_words,
)
from annotator.desktop.timeline.scale import Scale
from annotator.desktop.timeline.sound_lane import SoundLane
from annotator.desktop.timeline.strip_maker import StripMaker
from annotator.desktop.widgets.controls import end_typing
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from annotator.publish.report.phase_colours import case_colours
from annotator.store.session import Change

_NAMES = 108
_RIGHT = 4 * UNIT

_MOST = 400
"""Pixels: the height of the timeline, unless it is told another."""

_ROW_STEP = 24
"""Pixels that a notch of the scroll bar moves the rows by."""

_FAR_ENOUGH = 6
"""Pixels that the pointer must go before a whole tag follows: less is a click."""

_CURSORS = {
    None: Qt.CursorShape.ArrowCursor,
    "start": Qt.CursorShape.SizeHorCursor,
    "end": Qt.CursorShape.SizeHorCursor,
    "whole": Qt.CursorShape.OpenHandCursor,
}


class Timeline(QWidget):
    """Paints the lanes; owns nothing but the visible stretch.

    sought   a case time that was clicked or dragged to
    hovered  the case time under the pointer and its place in pixels; None and 0 once there is none
    asked    for a menu: the id of the tag there, selected now, or None; the case time; the point of the screen
    """

    sought = Signal(object)
    hovered = Signal(object, int)
    asked = Signal(object, object, QPoint)

    def __init__(self, controller: Controller, theme: Theme, strips: StripMaker, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.closely = FrameStrip(FrameNumbers(controller.case, controller.frames), self)
        self._film, self._sound = FilmLane(strips, self.closely), SoundLane(strips)
        self._controller = controller
        self._theme = theme
        self._lane_set = LaneSet.ALL
        self._phases = case_colours(controller.case)
        self._most = _MOST
        self._rows_bar = QScrollBar(Qt.Orientation.Vertical, self)
        self._rows_bar.setSingleStep(_ROW_STEP)
        self._rows_bar.setCursor(Qt.CursorShape.ArrowCursor)
        self._rows_bar.valueChanged.connect(self._repaint)
        self._lanes = self._lanes_now()
        self._scale = Scale(0, max(controller.case.duration, 1), _NAMES, 100)
        self._drag: Drag | None = None
        self._pressed_at = QPointF()
        self._shown_before: Ms = 0
        self._painted_at: Ms = 0
        self._loop: Interval | None = None
        self._pressed_lane: Lane | None = None
        self.setAccessibleName("Timeline")
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        controller.changed.connect(self._take_in)
        controller.selection_changed.connect(self._show_selected)
        theme.changed.connect(self._repaint)
        strips.grew.connect(self._repaint)
        self.closely.came.connect(self._repaint)

    # --- what it shows -------------------------------------------------------------------------------------

    def show_time(self, at: Ms) -> None:
        """Follow the playhead: turn the page when it leaves the visible stretch."""
        if not self._scale.start <= at <= self._scale.end:
            length = self._scale.end - self._scale.start
            self._scale = self._scale.moved(at - length // 10, self._whole)
            self.update()
        elif at != self._painted_at:
            whole = self._scale._replace(start=0, end=self._whole)
            self.update(changed_between(*self._other(at), self._areas(), self._scale, whole))

    def _other(self, at: Ms) -> tuple[Ms, Ms]:
        """From when to when something looks otherwise than when it was painted last."""
        early, late = min(self._painted_at, at), max(self._painted_at, at)
        if self._controller.case.running:  # what runs has more room for its name now
            early = self._scale.at(self._scale.x(early) - LONGEST_NAME)
        return early, late + self._controller.frames.frame_length(late)  # the ruler sets off a whole frame

    def show_loop(self, interval: Interval | None) -> None:
        """Mark the part of the case that is played over and over."""
        self._loop = interval
        self.update()

    def zoom(self, factor: float, about: Ms | None = None) -> None:
        self._scale = self._scale.zoomed(factor, self._controller.at if about is None else about, self._whole)
        self.update()

    def zoom_in(self) -> None:
        self.zoom(0.5)

    def zoom_out(self) -> None:
        self.zoom(2)

    def zoom_whole(self) -> None:
        self._scale = self._scale._replace(start=0, end=self._whole)
        self.update()

    @property
    def scale(self) -> Scale:
        return self._scale

    def middle_of(self, name: str) -> float:
        """Where the lane of that name runs, in pixels from the top."""
        return next(area.center().y() for lane, area in self._areas() if lane.name == name)

    def see_row_of(self, tag_id: str) -> None:
        """Scroll the rows to where a tag stands."""
        for lane, area in self._row_areas():
            row = lane.row_of(tag_id) if isinstance(lane, FacetBand) else None
            if row is not None:
                height = area.height() / lane.rows if isinstance(lane, FacetBand) else area.height()
                top, seen = area.top() + row * height, self._seen
                above, below = min(top - seen.top(), 0), max(top + height + UNIT - seen.bottom(), 0)
                self._rows_bar.setValue(round(self._rows_bar.value() + (above or below)))

    @property
    def _whole(self) -> Ms:
        return max(self._controller.case.duration, 1)

    def sizeHint(self) -> QSize:
        usual = (*self._lanes.fixed, *self._lanes.rows[: self._lanes.usual])
        return QSize(600, min(sum(lane.height for lane in usual) + 3 * UNIT, self._most))

    def fit(self, lane_set: LaneSet, most: int) -> None:
        """Show more or fewer lanes, no higher than so many pixels; what they leave is the picture's."""
        if (lane_set, most) != (self._lane_set, self._most):
            self._lane_set, self._most = lane_set, most
            self._refresh()

    def _take_in(self, change: Change) -> None:
        """Paint anew only the lanes that a change made others, where all stay in their places."""
        self._drop()  # what it was taken from is another case now
        before, kept, phases = self._areas(), kept_over(change, self._lanes), self._phases
        self._use(lanes_for(change.after, self._film, self._sound, self._lane_set, kept))
        areas, moved = self._areas(), self._phases.others_than(phases) - change.delta.ids
        if change.delta.head is not None or moved or [area for _, area in areas] != [area for _, area in before]:
            self.update()
            return
        for (was, _), (lane, area) in zip(before, areas, strict=True):
            if lane is not was and isinstance(lane, Tagged):
                self.update(QRectF(0, area.top(), self.width(), area.height()).toAlignedRect())

    def _refresh(self) -> None:
        self._drop()  # what it was taken from is another case now
        self._use(self._lanes_now())
        self.update()

    def _use(self, lanes: Lanes) -> None:
        self._lanes = lanes
        phases = case_colours(self._controller.case)
        if phases != self._phases:  # else the same object, by which lanes know quickly that nothing differs
            self._phases = phases
        self.updateGeometry()
        self._fit_rows()

    def _show_selected(self, tag_id: str | None) -> None:
        if tag_id is not None:
            self.see_row_of(tag_id)
        self.update()

    def _lanes_now(self) -> Lanes:
        return lanes_for(self._controller.case, self._film, self._sound, self._lane_set)

    def _repaint(self) -> None:
        self.update()

    # --- painting -------------------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._painted_at = self._controller.at
        for part in event.region():  # type: ignore[attr-defined]  # PySide6's stubs leave out that it can be walked
            self._paint_part(painter, part)
        painter.end()

    def _paint_part(self, painter: QPainter, part: QRect) -> None:
        """The rows, and over them what does not scroll; then the playhead, and the words that it must not cross."""
        look, rows = self._look(part), part.intersected(self._seen.toAlignedRect())
        above = part.intersected(QRect(0, 0, self.width(), round(self._seen.top())))
        names = paint_lanes(painter, rows, self._row_areas(), self._scale, look)
        words = (
            (rows, self._with_dragged(painter, rows, names)),
            (above, paint_lanes(painter, above, self._fixed_areas(), self._scale, look)),
        )
        playhead = self._scale.x(look.at)
        if self._scale.start <= look.at <= self._scale.end:
            overview = self._fixed_areas()[0][1]
            paint_playhead(painter, part, playhead, overview.bottom(), self.height() - 2 * UNIT, look.colours.text)
        for where, found in words:
            paint_words(painter, where, found, playhead)

    def _with_dragged(self, painter: QPainter, rows: QRect, names: Sequence[Words]) -> Sequence[Words]:
        """The row of a dragged tag as it would be if it were let go now, and the names that it leaves."""
        if self._drag is None or self._drag.held is None:
            return names
        band, held, look = self._drag.band, self._drag.held, self._look(self.rect())
        area = self._area_of(band)
        painter.setClipRect(area.intersected(QRectF(rows)))
        dragged = band.paint_dragged(painter, area, held.tags, held.span, self._scale, look)
        stretch = band.stretch(area, held.span, self._scale, look)
        return [*(one for one in names if not one.area.intersects(stretch)), *dragged]

    def _look(self, part: QRect) -> Look:
        selected = self._controller.selected
        return Look(
            case=self._controller.case,
            frames=self._controller.frames,
            at=self._controller.at,
            selected=selected.id if selected else None,
            all_selected=frozenset(tag.id for tag in self._controller.all_selected),
            colours=self._theme.colours,
            phases=self._phases,
            loop=self._loop,
            left=part.left() - REACH,
            right=part.right() + REACH,
        )

    def _areas(self) -> Areas:
        return [*self._fixed_areas(), *self._row_areas()]

    def _fixed_areas(self) -> Areas:
        return self._stacked(self._lanes.fixed, UNIT)

    def _row_areas(self) -> Areas:
        return self._stacked(self._lanes.rows, self._seen.top() - self._rows_bar.value())

    def _stacked(self, lanes: Sequence[Lane], top: float) -> Areas:
        found = []
        for lane in lanes:
            found.append((lane, QRectF(_NAMES, top, self.width() - _NAMES - _RIGHT, lane.height)))
            top += lane.height
        return found

    @property
    def _seen(self) -> QRectF:
        """Where the rows are seen."""
        top = UNIT + sum(lane.height for lane in self._lanes.fixed)
        return QRectF(0, top, self.width(), max(self.height() - top, 0))

    def _fit_rows(self) -> None:
        """Let the rows scroll where there is no room for all of them."""
        seen, whole = self._seen, sum(lane.height for lane in self._lanes.rows) + 2 * UNIT
        self._rows_bar.setRange(0, max(round(whole - seen.height()), 0))
        self._rows_bar.setPageStep(round(seen.height()))
        self._rows_bar.setVisible(self._rows_bar.maximum() > 0)
        wide = self._rows_bar.sizeHint().width()
        self._rows_bar.setGeometry(self.width() - wide, round(seen.top()), wide, round(seen.height()))

    def _area_of(self, band: Lane) -> QRectF:
        return next(area for lane, area in self._areas() if lane is band)

    # --- the pointer --------------------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._scale = self._scale._replace(left=_NAMES, width=max(self.width() - _NAMES - _RIGHT, 1))
        self._fit_rows()

    def wheelEvent(self, event: QWheelEvent) -> None:
        turn = event.angleDelta()
        if event.position().x() < _NAMES and event.position().y() >= self._seen.top():
            QApplication.sendEvent(self._rows_bar, event)  # over their names the wheel moves the rows
        elif event.modifiers() & Qt.KeyboardModifier.ShiftModifier or abs(turn.x()) > abs(turn.y()):
            length = self._scale.end - self._scale.start
            by = turn.x() or turn.y()
            self._scale = self._scale.moved(self._scale.start - round(by / 1200 * length), self._whole)
            self.update()
        else:
            self.zoom(0.8 ** (turn.y() / 120), self._scale.at(event.position().x()))
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        end_typing()
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._pressed_at = event.position()
        self._pressed_lane = self._hits(event.position()).lane(event.position())
        grip = self._grip_at(event.position())
        self._drag = self._taken(grip, event.position()) if grip else None
        if self._drag is not None:
            self.setFocus()  # for Escape
        if grip in (None, "whole"):
            tag = self._hits(event.position()).tag(event.position())
            if tag is not None:
                self._controller.select(tag.id)
            self._seek_to(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._drag is not None:
            self._drag_to(event)
        elif event.buttons() & Qt.MouseButton.LeftButton and self._pressed_lane is not None:
            self._seek_to(event.position())
        else:
            self.setCursor(_CURSORS[self._grip_at(event.position())])
        self._tell_hover(event)

    def _drag_to(self, event: QMouseEvent) -> None:
        drag, by = self._drag, event.position() - self._pressed_at
        far = drag is not None and (drag.held is not None or abs(by.x()) >= _FAR_ENOUGH or drag.grip != "whole")
        if drag is not None and far:
            free = event.modifiers() & Qt.KeyboardModifier.AltModifier
            if drag.move(self._scale.at(event.position().x()), self._scale, None if free else self._shown_before):
                self.sought.emit(drag.held.at if drag.held else 0)
            self.update(self._area_of(drag.band).toAlignedRect())

    def _tell_hover(self, event: QMouseEvent) -> None:
        x, lane = event.position().x(), self._hits(event.position()).lane(event.position())
        at = self._scale.at(x)
        inside = _NAMES <= x <= self.width() - _RIGHT and 0 <= at < self._whole
        if inside and not event.buttons() and lane is not None and not isinstance(lane, Overview):
            self.hovered.emit(at, round(x))
        else:
            self.hovered.emit(None, 0)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        place = QPointF(event.pos())
        tag = self._hits(place).tag(place)
        if tag is not None and tag not in self._controller.all_selected:
            self._controller.select(tag.id)
        lane = self._hits(place).lane(place)
        whole = self._scale._replace(start=0, end=self._whole)
        at = (whole if isinstance(lane, Overview) else self._scale).at(place.x())
        self.asked.emit(tag.id if tag else None, min(max(at, 0), self._whole), event.globalPos())

    def leaveEvent(self, event: QEvent) -> None:
        self.hovered.emit(None, 0)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        held = self._drag.held if self._drag is not None and self._drag.has_moved else None
        self._drop()
        self._pressed_lane = None
        if held is not None:
            self._controller.do(held.edit)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self._drag is not None and event.key() == Qt.Key.Key_Escape:
            self._drop()

    def _drop(self) -> None:
        """Let go of what is dragged, and leave it where it was."""
        if self._drag is not None:
            self._drag = None
            self.clearFocus()
            self.update()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and self._drag is not None:
            event.setAccepted(isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape)
            return True
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), self._tip(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def _seek_to(self, position: QPointF) -> None:
        if position.x() < _NAMES - GRAB:
            return
        if isinstance(self._pressed_lane, Overview):
            whole = self._scale._replace(start=0, end=self._whole)
            at = whole.at(position.x())
            length = self._scale.end - self._scale.start
            self._scale = self._scale.moved(at - length // 2, self._whole)
            self.update()
        else:
            at = self._scale.at(position.x())
        self.sought.emit(min(max(at, 0), self._whole))

    def _hits(self, position: QPointF) -> Hits:
        """What there is to hit at a height: rows that are scrolled away lie behind what does not scroll."""
        areas = self._row_areas() if position.y() >= self._seen.top() else self._fixed_areas()
        return Hits(areas, self._scale, self._controller.at)

    def _grip_at(self, position: QPointF) -> Grip | None:
        """What the pointer would take of the selected tag; of no other, so that no click moves anything by chance."""
        selected, hits = self._controller.selected, self._hits(position)
        if selected is None or self._controller.session.read_only:
            return None
        edge = hits.edge(position, selected)
        if edge is None and selected.end is not None and hits.tag(position) == selected:
            return "whole"
        return edge

    def _taken(self, grip: Grip, position: QPointF) -> Drag | None:
        selected = self._controller.selected
        band = self._hits(position).band(selected) if selected else None
        if selected is None or band is None:
            return None
        self._shown_before = self._controller.at
        taken_at = self._scale.at(position.x())
        return Drag(self._controller.case, self._controller.frames, band, selected, grip, taken_at)

    def _tip(self, position: QPointF) -> str:
        tag = self._hits(position).tag(position)
        return tip_of(self._controller.case, tag) if tag is not None else ""
