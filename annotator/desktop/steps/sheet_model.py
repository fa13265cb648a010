"""The rows of the step sheet as they are now: which are shown, in which order, with their times and what runs."""

from collections.abc import Iterable
from operator import itemgetter
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QWidget

from annotator.desktop.commands.actions import Keys
from annotator.desktop.commands.search import rank
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.times import TimeSoFar, covering
from annotator.desktop.steps.sheet_rows import SheetRow, rows_of
from annotator.desktop.widgets.controls import plain_tip
from annotator.model.timecode import Ms, span

ROLE = Qt.ItemDataRole.UserRole
"""Of a row's SheetRow."""

Index = QModelIndex | QPersistentModelIndex


class SheetModel(QAbstractListModel):
    """Rows of the sheet; the time of each and what runs come from the case when asked for.

    marked  the number of the row that Enter takes; None while nothing is looked for
    """

    def __init__(self, controller: Controller, keys: Keys, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._all = rows_of(controller.case.vocabulary, keys)
        self._shown = self._all
        self._words = ""
        self.marked: int | None = None
        self._so_far = TimeSoFar(controller.case)
        self._times = self._so_far.at(controller.at)
        self._running = covering(controller.case, controller.at)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own form
        return 0 if parent.isValid() else len(self._shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._shown):
            return None
        row = self._shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.label
        if role == ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(row.label, row.tip)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.spoken(row)
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        if not index.isValid() or self._shown[index.row()].is_group:
            return Qt.ItemFlag.NoItemFlags
        return Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable

    def time_of(self, row: SheetRow) -> str:
        """The time so far as text, or a dash."""
        spent = self._times.get(row.concept)
        return "–" if spent is None else span(spent) if spent or not row.moments else "•"

    def is_covering(self, row: SheetRow) -> bool:
        return row.concept in self._running

    def is_running(self, row: SheetRow) -> bool:
        return self._running.get(row.concept, False)

    def spoken(self, row: SheetRow) -> str:
        if row.is_group:
            return row.label
        runs = ", running" if self.is_running(row) else ""
        key = f", key {row.key}" if row.key else ""
        return f"{row.label}{key}, {self.time_of(row)}{runs}"

    def use_keys(self, keys: Keys) -> None:
        self._all = rows_of(self._controller.case.vocabulary, keys)
        self.filter(self._words)

    def filter(self, words: str) -> None:
        """Show the rows whose names fit the words, those that fit best first; all, by groups, without any."""
        self._words = words
        self.beginResetModel()
        self._shown = _found(self._all, words) if words.strip() else self._all
        self.marked = None
        self.endResetModel()

    def mark(self, number: int | None) -> None:
        """Mark another row as the one that Enter takes."""
        before, self.marked = self.marked, number
        for changed in (before, number):
            if changed is not None and changed < len(self._shown):
                self.dataChanged.emit(self.index(changed), self.index(changed))

    @property
    def can_tag(self) -> bool:
        """Whether the case can be changed."""
        return not self._controller.session.read_only

    def refresh(self, at: Ms) -> None:
        """Ask the case again; only what is seen of it is repainted, and nothing where nothing has changed."""
        case, before = self._controller.case, (self._times, self._running)
        if self._so_far.case is not case:
            self._so_far = TimeSoFar(case)
        self._times, self._running = self._so_far.at(at), covering(case, at)
        if self._shown and (self._times, self._running) != before:
            self.dataChanged.emit(self.index(0), self.index(len(self._shown) - 1))

    def covering_step(self) -> str:
        """The concept that covers the shown frame and stands highest in the sheet; empty for none."""
        return next((row.concept for row in self._shown if row.concept in self._running), "")

    def row_of(self, concept: str) -> int | None:
        return next((at for at, row in enumerate(self._shown) if row.concept == concept), None)


def _found(rows: Iterable[SheetRow], words: str) -> list[SheetRow]:
    ranked = [(rank(words, row.label, row.also), row) for row in rows if not row.is_group]
    return [row for _, row in sorted(((place, row) for place, row in ranked if place is not None), key=itemgetter(0))]
