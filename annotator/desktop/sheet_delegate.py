"""Paints one row of the step sheet: key cap, name, time so far, and what marks a running step."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from annotator.desktop import typeface
from annotator.desktop.paint import cap_width, dot, focus_ring, key_cap, write
from annotator.desktop.sheet_rows import SheetRow
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import ROW, UNIT

if TYPE_CHECKING:
    from annotator.desktop.step_sheet import SheetModel

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class SheetDelegate(QStyledItemDelegate):
    def __init__(self, model: "SheetModel", theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(120, ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row: SheetRow = index.data(Qt.ItemDataRole.UserRole)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if row.is_group:
            self._paint_group(painter, option.rect, row)
        else:
            self._paint_concept(painter, option, row)
        painter.restore()

    def _paint_group(self, painter: QPainter, area: QRect, row: SheetRow) -> None:
        colours = self._theme.colours
        left = area.left() + 4 * UNIT
        if row.colour:
            painter.fillRect(QRect(left, area.center().y(), 2 * UNIT, 2 * UNIT), QColor(row.colour))
            left += 4 * UNIT
        painter.setFont(typeface.small(strong=True))
        write(painter, area.adjusted(left - area.left(), 2 * UNIT, 0, 0), row.label, colours.muted)

    def _paint_concept(self, painter: QPainter, option: QStyleOptionViewItem, row: SheetRow) -> None:
        colours, area = self._theme.colours, option.rect
        covering, running = self._model.is_covering(row), self._model.is_running(row)
        if covering:
            painter.fillRect(area, QColor(colours.accent_ground))
            painter.fillRect(QRect(area.left(), area.top(), 3, area.height()), QColor(colours.accent))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(area, QColor(colours.raised))
        cap = QRect(area.left() + 3 * UNIT, area.top() + 3, max(21, cap_width(row.key)), 21)
        key_cap(painter, cap, row.key, colours)
        painter.setFont(typeface.figures(strong=covering))
        time = self._model.time_of(row)
        right = area.right() - 3 * UNIT + 1
        width = QFontMetrics(painter.font()).horizontalAdvance(time)
        write(painter, QRect(right - width, area.top(), width + 1, area.height()), time, colours.muted, _RIGHT)
        right -= width + 2 * UNIT
        if running:
            dot(painter, right - 1, area.center().y() + 1, colours.accent)
            right -= 3 * UNIT
        left = cap.right() + 3 * UNIT
        painter.setFont(typeface.text(strong=covering))
        write(painter, QRect(left, area.top(), right - left, area.height()), row.label, colours.text)
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
