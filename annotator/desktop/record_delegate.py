"""Paints one line of the running record."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from annotator.desktop import typeface
from annotator.desktop.paint import diamond, dot, focus_ring, write
from annotator.desktop.record_rows import RecordRow
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import ROW, SMALL_SIZE, UNIT
from annotator.model.timecode import clock

if TYPE_CHECKING:
    from annotator.desktop.running_record import RecordModel

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class RecordDelegate(QStyledItemDelegate):
    def __init__(self, model: "RecordModel", theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(160, ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row: RecordRow = index.data(Qt.ItemDataRole.UserRole)
        colours, area = self._theme.colours, option.rect
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if chosen:
            painter.fillRect(area, QColor(colours.accent_ground))
            painter.fillRect(QRect(area.left(), area.top(), 3, area.height()), QColor(colours.accent))
        elif option.state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(area, QColor(colours.raised))

        left = area.left() + (8 if row.indented else 4) * UNIT
        painter.setFont(typeface.figures(SMALL_SIZE))
        start = clock(row.start)
        width = QFontMetrics(painter.font()).horizontalAdvance(start) + 1
        write(painter, QRect(left, area.top(), width, area.height()), start, colours.muted)
        left += width + 4 * UNIT
        middle = area.center().y() + 1
        if row.is_moment:
            diamond(painter, left, middle, colours.warning)
        elif row.indented:
            dot(painter, left, middle, colours.bar)
        else:
            painter.fillRect(QRect(left - UNIT, middle - UNIT, 2 * UNIT, 2 * UNIT), QColor(row.colour or colours.bar))
        left += 3 * UNIT
        covering = row.tag_id in self._model.covering
        painter.setFont(typeface.figures(strong=covering))
        right = area.right() - 3 * UNIT
        width = QFontMetrics(painter.font()).horizontalAdvance(row.length)
        colour = colours.accent if row.is_running else colours.muted
        write(painter, QRect(right - width, area.top(), width + 1, area.height()), row.length, colour, _RIGHT)
        painter.setFont(typeface.text(strong=covering))
        name = row.name if row.confirmed else f"{row.name} (proposed)"
        write(painter, QRect(left, area.top(), right - width - left - UNIT, area.height()), name, colours.text)
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
        painter.restore()
