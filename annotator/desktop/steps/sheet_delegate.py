"""Paints one row of the step list: the key that tags, name, time so far, and highlights."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from annotator.desktop.steps.sheet_rows import SheetRow
from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import (
    cap_width,
    dot,
    focus_ring,
    key_cap,
    lines_of,
    marked_ground,
    write,
    write_lines,
)
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT

if TYPE_CHECKING:
    from annotator.desktop.steps.sheet_model import SheetModel

_ENTER = "Enter"
_USUAL_TIME = "0:00"
"""What room is kept for beside a name; a step of an hour takes it from the name."""

_CAP = 21
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class SheetDelegate(QStyledItemDelegate):
    def __init__(self, model: "SheetModel", theme: Theme, view: QListView) -> None:
        super().__init__(view)
        self._view = view
        self._model = model
        self._theme = theme
        self.pointed_at: QPoint | None = None
        """Where in the list the pointer is; None where it is elsewhere."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """As high as its name needs, whatever its time is: rows must not move while a step runs."""
        row: SheetRow = index.data(Qt.ItemDataRole.UserRole)
        if row.is_heading:
            return QSize(120, ROW)
        font = typeface.text()
        further = len(lines_of(row.text, font, _name_room(row, self._view.viewport().width()))) - 1
        return QSize(120, ROW + further * QFontMetrics(font).lineSpacing())

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row: SheetRow = index.data(Qt.ItemDataRole.UserRole)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if row.is_heading:
            self._paint_group(painter, option.rect, row)
        else:
            self._paint_concept(painter, option, row, index.row())
        painter.restore()

    def _paint_group(self, painter: QPainter, area: QRect, row: SheetRow) -> None:
        colours = self._theme.colours
        left = area.left() + 4 * UNIT
        if row.colour:
            painter.fillRect(QRect(left, area.center().y(), 2 * UNIT, 2 * UNIT), QColor(row.colour))
            left += 4 * UNIT
        painter.setFont(typeface.small(strong=True))
        write(painter, area.adjusted(left - area.left(), 2 * UNIT, 0, 0), row.text, colours.muted)

    def _paint_concept(self, painter: QPainter, option: QStyleOptionViewItem, row: SheetRow, number: int) -> None:
        colours, area = self._theme.colours, option.rect
        covering = self._model.is_covering(row)
        self._paint_ground(painter, option, covering=covering)
        self._paint_button(painter, area, row)
        left = area.left() + _name_left(row)
        is_marked = number == self._model.marked
        right = self._paint_enter(painter, area) if is_marked else self._paint_time(painter, area, row)
        room = QRect(left, area.top(), min(right - left, _name_room(row, area.width())), area.height())
        strong = typeface.text(strong=True)
        has_room = len(lines_of(row.text, strong, room.width())) * QFontMetrics(strong).lineSpacing() <= room.height()
        painter.setFont(strong if covering and has_room else typeface.text())
        write_lines(painter, room, row.text, colours.text)
        if is_marked or option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)

    def _paint_ground(self, painter: QPainter, option: QStyleOptionViewItem, *, covering: bool) -> None:
        colours, area = self._theme.colours, option.rect
        is_selected = bool(option.state & QStyle.StateFlag.State_Selected)
        if covering:
            marked_ground(painter, area, colours)
        elif is_selected or option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(area, QColor(colours.raised))
        if is_selected:
            painter.setPen(QColor(colours.muted))
            painter.drawRect(area.adjusted(0, 0, -1, -1))

    def _paint_button(self, painter: QPainter, area: QRect, row: SheetRow) -> None:
        """The key's cap, which a click presses, or a plus where there is no key."""
        colours = self._theme.colours
        cap = QRect(area.left() + 3 * UNIT, _cap_top(area), _cap_of(row), _CAP)
        pointed = self._model.can_tag and self.pointed_at is not None and button_in(area, row).contains(self.pointed_at)
        key_cap(painter, cap, row.key or ("+" if self._model.can_tag else ""), colours, pointed=pointed)

    def _paint_enter(self, painter: QPainter, area: QRect) -> int:
        """The key that takes this row; returns where the room for its name ends."""
        width = cap_width(_ENTER)
        cap = QRect(area.right() - 3 * UNIT - width + 1, _cap_top(area), width, _CAP)
        key_cap(painter, cap, _ENTER, self._theme.colours)
        return cap.left() - 2 * UNIT

    def _paint_time(self, painter: QPainter, area: QRect, row: SheetRow) -> int:
        """The time so far, and whether it runs; returns where the room for its name ends."""
        colours = self._theme.colours
        painter.setFont(typeface.figures(strong=self._model.is_covering(row)))
        time = self._model.time_of(row)
        right = area.right() - 3 * UNIT + 1
        width = QFontMetrics(painter.font()).horizontalAdvance(time)
        write(painter, QRect(right - width, area.top(), width + 1, area.height()), time, colours.muted, _RIGHT)
        right -= width + 2 * UNIT
        if self._model.is_running(row):
            dot(painter, right - 1, area.center().y() + 1, colours.accent)
            right -= 3 * UNIT
        return right


def _cap_of(row: SheetRow) -> int:
    return max(_CAP, cap_width(row.key))


def _cap_top(area: QRect) -> int:
    return area.top() + (area.height() - _CAP) // 2


def _name_left(row: SheetRow) -> int:
    """How far from the left edge of a row its name begins."""
    return 6 * UNIT + _cap_of(row)


def _name_room(row: SheetRow, width: int) -> int:
    """How wide the name in a row of a given width is at most."""
    return width - _name_left(row) - QFontMetrics(typeface.figures()).horizontalAdvance(_USUAL_TIME) - 5 * UNIT


def button_in(area: QRect, row: SheetRow) -> QRect:
    """What of a row is its button: the cap, and as much around it as a hand needs (WCAG 2.2, 2.5.8: 24 pixels)."""
    return QRect(area.left() + UNIT, area.top(), _cap_of(row) + 4 * UNIT, area.height())
