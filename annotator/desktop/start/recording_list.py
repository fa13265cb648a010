"""Recordings in order: full names, lengths, and why one can't be read; moved by dragging or by keys."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import focus_ring, row_ground
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.controls import plain_tip
from annotator.desktop.widgets.line_wrap import LineWrap
from annotator.model.recording import Recording
from annotator.model.timecode import span

_ENTRY = Qt.ItemDataRole.UserRole
_WRAPS = int(Qt.TextFlag.TextWrapAnywhere | Qt.TextFlag.TextWordWrap)
_NUMBER, _LENGTH = 9 * UNIT, 24 * UNIT
"""Widths of the columns beside the name."""


class Entry(NamedTuple):
    """One file of the list.

    recording  None while it has not been read, or can't be
    why        why it can't be read
    share      how much of it has been read, from 0 to 1
    tags       how many tags of the open case lie on it
    """

    path: Path
    recording: Recording | None = None
    why: str = ""
    share: float = 0.0
    tags: int = 0

    @property
    def length(self) -> str:
        if self.recording is not None:
            return span(self.recording.duration)
        return "" if self.why else f"reading {round(100 * self.share)} %"

    @property
    def more(self) -> str:
        """What stands below the name."""
        return self.why or (f"{self.tags} tag{'s' * (self.tags != 1)}" if self.tags else "")


class RecordingList(QListWidget):
    """arranged  there are others, in another order, or more is known of them"""

    arranged = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Recordings in their order")
        self.setItemDelegate(_Rows(theme, self))
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        LineWrap(self)
        self.model().rowsMoved.connect(self._tell)
        theme.changed.connect(self.viewport().update)

    @property
    def entries(self) -> list[Entry]:
        return [self.item(row).data(_ENTRY) for row in range(self.count())]

    def show_entries(self, entries: Iterable[Entry]) -> None:
        """These and no others, the first one selected."""
        self.clear()
        for entry in entries:
            self._put(QListWidgetItem(), entry, self.count())
        self.setCurrentRow(0)
        self.arranged.emit()

    def add(self, entries: Sequence[Entry]) -> None:
        """Put further ones at the end."""
        for entry in entries:
            self._put(QListWidgetItem(), entry, self.count())
        self.setCurrentRow(self.count() - 1)
        self.arranged.emit()

    def change(self, entry: Entry) -> None:
        """Show what is known now of the file with this path."""
        for row in range(self.count()):
            if self.item(row).data(_ENTRY).path == entry.path:
                self._put(self.item(row), entry)
        self.arranged.emit()

    def move_current(self, by: int) -> None:
        """Let the selected one change places with a neighbour."""
        row, to = self.currentRow(), self.currentRow() + by
        if row >= 0 and 0 <= to < self.count():
            item = self.takeItem(row)
            self.insertItem(to, item)
            self.setCurrentRow(to)
            self.arranged.emit()

    def remove_current(self) -> Entry | None:
        """Take the selected one out; the next one is selected then."""
        row = self.currentRow()
        if row < 0:
            return None
        entry: Entry = self.takeItem(row).data(_ENTRY)
        self.arranged.emit()
        return entry

    def _put(self, item: QListWidgetItem, entry: Entry, row: int | None = None) -> None:
        item.setData(_ENTRY, entry)
        item.setText(entry.path.name)
        item.setToolTip(plain_tip(str(entry.path)))
        spoken = ", ".join(filter(None, (entry.path.name, entry.length, entry.more)))
        item.setData(Qt.ItemDataRole.AccessibleTextRole, spoken)
        if row is not None:
            self.insertItem(row, item)

    def _tell(self, *_: object) -> None:
        self.arranged.emit()


class _Rows(QStyledItemDelegate):
    """Number, name over as many lines as it takes, and length; below the name what else there is to say."""

    def __init__(self, theme: Theme, view: RecordingList) -> None:
        super().__init__(view)
        self._theme = theme
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        entry: Entry = index.data(_ENTRY)
        width = self._view.viewport().width()
        high = _height(typeface.text(strong=True), entry.path.name, _name_width(width))
        high += _height(typeface.text(), entry.more, _name_width(width)) if entry.more else 0
        return QSize(width, max(ROW + UNIT, high + 3 * UNIT))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        entry: Entry = index.data(_ENTRY)
        colours, area = self._theme.colours, option.rect
        painter.save()
        row_ground(painter, option, colours)
        inside = area.adjusted(0, UNIT + 2, -3 * UNIT, -UNIT)
        _write(painter, inside.adjusted(3 * UNIT, 0, 0, 0), f"{index.row() + 1}", colours.muted, typeface.figures())
        right = Qt.AlignmentFlag.AlignRight
        _write(painter, inside, entry.length, colours.muted, typeface.figures(), right)
        name = QRect(area.left() + _NUMBER, inside.top(), _name_width(area.width()), inside.height())
        used = _write(painter, name, entry.path.name, colours.text, typeface.text(strong=True))
        if entry.more:
            colour = colours.warning if entry.why else colours.muted
            _write(painter, name.adjusted(0, used, 0, 0), entry.more, colour, typeface.text())
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
        painter.restore()


def _name_width(width: int) -> int:
    return max(width - _NUMBER - _LENGTH - 3 * UNIT, 40 * UNIT)


def _height(font: QFont, text: str, width: int) -> int:
    return QFontMetrics(font).boundingRect(0, 0, width, 10_000, _WRAPS, text).height()


def _write(
    painter: QPainter,
    area: QRect,
    text: str,
    colour: str,
    font: QFont,
    align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
) -> int:
    """All of the text, over as many lines as it takes; returns how high it is."""
    painter.setFont(font)
    painter.setPen(QColor(colour))
    painter.drawText(area, int(align | Qt.AlignmentFlag.AlignTop) | _WRAPS, text)
    return _height(font, text, area.width())
