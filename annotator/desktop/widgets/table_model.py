"""A table of figures as a model: sorted by any column, ties in their old order."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, QPersistentModelIndex, Qt

from annotator.desktop.theme import typeface
from annotator.desktop.widgets.controls import plain_tip
from annotator.desktop.widgets.table import Line, Table

_Index = QModelIndex | QPersistentModelIndex
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


class TableModel(QAbstractTableModel):
    """Keeps the order that was asked for when the figures change."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._given: tuple[Line, ...] = ()
        self._lines: list[Line] = []
        self.heads: tuple[str, ...] = ()
        self.wide = ""
        self._sorted: tuple[int, Qt.SortOrder] | None = None

    def show_table(self, table: Table) -> None:
        """Show another table, or other figures of this one."""
        self.beginResetModel()
        if table.heads != self.heads:
            self.heads, self._sorted = table.heads, None
        self.wide = table.wide
        self._given = table.lines
        self._lines = self._in_order()
        self.endResetModel()

    def line_at(self, row: int) -> Line:
        return self._lines[row]

    def is_figure(self, column: int) -> bool:
        """Whether a column holds figures; nobody can tell without any."""
        return bool(self._lines) and self._lines[0].cells[column].is_figure

    def rowCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: _Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own default
        return 0 if parent.isValid() else len(self.heads)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        cell = self._lines[index.row()].cells[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return cell.text
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _RIGHT if cell.is_figure else _LEFT
        if role == Qt.ItemDataRole.FontRole:
            return typeface.figures() if cell.is_figure else typeface.text()
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(cell.tip) if cell.tip else None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{self.heads[index.column()]}: {', '.join(filter(None, (cell.text, cell.tip)))}"
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation is not Qt.Orientation.Horizontal or section >= len(self.heads):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self.heads[section]
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _RIGHT if self.is_figure(section) else _LEFT
        return None

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """By a column; below zero as the vocabulary or the clock has it."""
        self._sorted = (column, order) if 0 <= column < len(self.heads) else None
        self.layoutAboutToBeChanged.emit()
        held = self.persistentIndexList()
        before = [(self._lines[index.row()], index.column()) for index in held]
        self._lines = self._in_order()
        rows = {id(line): row for row, line in enumerate(self._lines)}
        self.changePersistentIndexList(held, [self.index(rows[id(line)], column_) for line, column_ in before])
        self.layoutChanged.emit()

    def _in_order(self) -> list[Line]:
        if self._sorted is None:
            return list(self._given)
        column, order = self._sorted
        backwards = order is Qt.SortOrder.DescendingOrder
        return sorted(self._given, key=lambda line: line.cells[column].value, reverse=backwards)
