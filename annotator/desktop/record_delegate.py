"""Paints one line of the running record."""

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QAbstractItemModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import QCompleter, QLineEdit, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from annotator.desktop import typeface
from annotator.desktop.paint import diamond, dot, focus_ring, write
from annotator.desktop.record_rows import STEP_ROLE, RecordRow
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import ROW, SMALL_SIZE, UNIT
from annotator.model.timecode import clock

if TYPE_CHECKING:
    from annotator.desktop.record_model import RecordModel

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class RecordDelegate(QStyledItemDelegate):
    def __init__(self, model: "RecordModel", theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._model = model
        self._theme = theme
        self.edits = STEP_ROLE

    def createEditor(
        self, parent: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QWidget:
        """A field for the step, which knows the names of its facet, or for the note."""
        field = QLineEdit(parent)
        field.setAccessibleName("Step of this line" if self.edits == STEP_ROLE else "Note of this line")
        if self.edits == STEP_ROLE:
            known = QCompleter(self._model.names_for(index), field)
            known.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            known.setFilterMode(Qt.MatchFlag.MatchContains)
            field.setCompleter(known)
            field.returnPressed.connect(partial(self._finish, field, known))
        return field

    def _finish(self, field: QLineEdit, known: QCompleter) -> None:
        """While names are offered, Qt hands Return past the delegate, straight to the field."""
        names = known.popup()
        if names is not None and names.isVisible():
            names.hide()
            self.commitData.emit(field)
            self.closeEditor.emit(field, QStyledItemDelegate.EndEditHint.NoHint)

    def setEditorData(self, editor: QWidget, index: QModelIndex | QPersistentModelIndex) -> None:
        if isinstance(editor, QLineEdit):
            editor.setText(index.data(self.edits))
            editor.selectAll()

    def setModelData(
        self, editor: QWidget, model: QAbstractItemModel, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        if isinstance(editor, QLineEdit):
            model.setData(index, editor.text(), self.edits)

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
        room = QRect(left, area.top(), right - width - left - UNIT, area.height())
        write(painter, room, name, colours.text)
        if row.note:
            room.setLeft(left + QFontMetrics(painter.font()).horizontalAdvance(name) + 2 * UNIT)
            painter.setFont(typeface.text())
            if room.width() > 8 * UNIT:
                write(painter, room, row.note, colours.muted)
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
        painter.restore()
