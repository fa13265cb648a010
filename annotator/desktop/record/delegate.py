"""Paints one line of the tag list."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem, QWidget

from annotator.desktop.record.columns import LineColumns, columns_of
from annotator.desktop.record.editors import RecordEditors
from annotator.desktop.record.rows import ROLE, RecordRow
from annotator.desktop.theme import typeface
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.paint import diamond, dot, focus_ring, row_ground, write
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, SMALL_SIZE, UNIT, Colours
from annotator.model.timecode import clock

if TYPE_CHECKING:
    from annotator.desktop.record.model import RecordModel

_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter

_NOTE_LEAST = 64
"""Pixels below which a note is not begun to be written: a sign says that there is one."""


class RecordDelegate(RecordEditors):
    def __init__(self, model: "RecordModel", theme: Theme, parent: QWidget) -> None:
        super().__init__(model, parent)
        self._theme = theme

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(160, ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        row: RecordRow = index.data(ROLE)
        colours, area = self._theme.colours, option.rect
        covering = row.tag_id in self._model.covering
        figures = typeface.figures(strong=covering)
        length = QFontMetrics(figures).horizontalAdvance(row.length) + 1 if row.length else 0
        at = columns_of(area, row.indented, self._model.has_hours, length)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        row_ground(painter, option, colours)
        painter.setFont(typeface.figures(SMALL_SIZE))
        write(painter, at.time, clock(row.start)[0 if self._model.has_hours else 3 :], colours.muted)
        _paint_sign(painter, at, row, colours)
        painter.setFont(figures)
        colour = colours.accent if row.is_running else colours.muted
        write(painter, at.length, row.length, colour, _RIGHT)
        self._paint_words(painter, at, row, strong=covering)
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
        painter.restore()

    def _paint_words(self, painter: QPainter, at: LineColumns, row: RecordRow, *, strong: bool) -> None:
        """The name, and behind it as much of the note as there is room for."""
        colours = self._theme.colours
        room = QRect(at.name)
        painter.setFont(name_font(row.called, room.width(), strong=strong))
        width = QFontMetrics(painter.font()).horizontalAdvance(row.called) + 2 * UNIT
        left = room.width() - width
        if row.note and left < _NOTE_LEAST:
            room.setRight(room.right() - 4 * UNIT)
            place = QRect(min(room.left() + width, room.right() + UNIT), at.sign.y() - 7, 13, 13)
            icon(Icon.NOTE, colours, on=colours.muted).paint(painter, place)
        write(painter, room, row.called, colours.text)
        if row.note and left >= _NOTE_LEAST:
            painter.setFont(typeface.text())
            write(painter, room.adjusted(width, 0, 0, 0), _first_line(row.note), colours.muted)


def name_font(name: str, width: int, *, strong: bool) -> QFont:
    """The usual one, or for a name that has no room in it the small one."""
    usual = typeface.text(strong=strong)
    return usual if QFontMetrics(usual).horizontalAdvance(name) <= width else typeface.small(strong=strong)


def _first_line(note: str) -> str:
    first, *more = note.splitlines()
    return f"{first} …" if more else first


def _paint_sign(painter: QPainter, at: LineColumns, row: RecordRow, colours: Colours) -> None:
    """A square in the colour of the phase, a dot for what has none, a diamond for a moment."""
    x, y = at.sign.x(), at.sign.y()
    if row.is_moment:
        diamond(painter, x, y, colours.warning)
    elif row.indented:
        dot(painter, x, y, colours.muted)
    else:
        painter.fillRect(QRect(x - UNIT, y - UNIT, 2 * UNIT, 2 * UNIT), QColor(row.colour or colours.bar))
