"""A list of rows under headings, as a model: which rows are shown, and what is read of each."""

from typing import Any, Generic, Protocol, TypeVar

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

ROLE = Qt.ItemDataRole.UserRole
"""Of the row itself."""

Index = QModelIndex | QPersistentModelIndex


class Row(Protocol):
    """A heading, which can't be selected, or something that can."""

    @property
    def text(self) -> str: ...
    @property
    def is_heading(self) -> bool: ...


_Row = TypeVar("_Row", bound=Row)


class RowModel(QAbstractListModel, Generic[_Row]):
    """Whoever inherits from it says how a row is read out, and its tip."""

    shown: list[_Row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own form
        return 0 if parent.isValid() else len(self.shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self.shown):
            return None
        row = self.shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.text
        if role == ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return self.tip(row)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return row.text if row.is_heading else self.spoken(row)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid() or self.shown[index.row()].is_heading:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def show(self, rows: list[_Row]) -> None:
        """Show these rows and no others."""
        self.beginResetModel()
        self.shown = rows
        self.endResetModel()

    def spoken(self, row: _Row) -> str:
        """A row as a screen reader says it."""
        return row.text

    def tip(self, row: _Row) -> str | None:
        """What is shown under the pointer, where there is more to say."""
        return None
