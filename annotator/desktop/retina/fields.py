"""The fields of the retina chart as a list of items, so that screen readers can walk over them."""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt

from annotator.model.place import FIELDS, Field, Place
from annotator.model.retina import field_in_words

Index = QModelIndex | QPersistentModelIndex


class FieldModel(QAbstractListModel):
    """One item a field, in the order of `place.FIELDS`: its name in words, and whether it is selected."""

    def __init__(self) -> None:
        super().__init__()
        self._place: Place = frozenset()
        self.read_only = False

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own form
        return 0 if parent.isValid() else len(FIELDS)

    def flags(self, index: Index) -> Qt.ItemFlag:
        always = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        return always if self.read_only else always | Qt.ItemFlag.ItemIsUserCheckable

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        field = FIELDS[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return field_in_words(field)
        if role == Qt.ItemDataRole.CheckStateRole:
            return Qt.CheckState.Checked if field in self._place else Qt.CheckState.Unchecked
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{field_in_words(field)}, {'selected' if field in self._place else 'not selected'}"
        return None

    def show_place(self, place: Place) -> None:
        """Tell which fields are selected; only those that changed are told."""
        changed, self._place = place ^ self._place, place
        for field in changed:
            index = self.of(field)
            self.dataChanged.emit(index, index)

    def of(self, field: Field) -> QModelIndex:
        return self.index(FIELDS.index(field))
