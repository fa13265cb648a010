"""The running record: the case as it would be read out, one line a tag, events under the step they fall in."""

from bisect import bisect_right
from typing import Any

from PySide6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView, QWidget

from annotator.desktop.controller import Controller
from annotator.desktop.record_delegate import RecordDelegate
from annotator.desktop.record_rows import RecordRow, record_rows
from annotator.desktop.theme import Theme
from annotator.desktop.times import tags_at
from annotator.model.timecode import Ms, clock

ROLE = Qt.ItemDataRole.UserRole
Index = QModelIndex | QPersistentModelIndex


class RecordModel(QAbstractListModel):
    """The case's tags as rows; the same tags in the same order are changed in place, so that choice and scroll stay."""

    def __init__(self, controller: Controller, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._rows = record_rows(controller.case)
        self.covering: set[str] = set()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own form
        return 0 if parent.isValid() else len(self._rows)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._rows):
            return None
        row = self._rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return row.name
        if role == ROLE:
            return row
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.note or None
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(filter(None, (clock(row.start), row.name, row.length, row.note)))
        return None

    def follow(self, at: Ms) -> bool:
        """Mark the tags that cover the shown frame; returns whether they are others than before."""
        covering = {tag.id for tag in tags_at(self._controller.case, at)}
        if covering == self.covering:
            return False
        changed = covering ^ self.covering
        self.covering = covering
        for number, row in enumerate(self._rows):
            if row.tag_id in changed:
                self.dataChanged.emit(self.index(number), self.index(number))
        return True

    def last_begun(self, at: Ms) -> int:
        """The row of the tag that began last at `at`, or -1."""
        return bisect_right(self._rows, at, key=lambda row: row.start) - 1

    def refresh(self) -> None:
        rows = record_rows(self._controller.case)
        if [row.tag_id for row in rows] == [row.tag_id for row in self._rows]:
            self._rows = rows
            if rows:
                self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
        else:
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()

    def row_of(self, tag_id: str | None) -> int | None:
        return next((at for at, row in enumerate(self._rows) if row.tag_id == tag_id), None)


class RunningRecord(QListView):
    """The list; a choice here is the window's choice, Enter or a double click goes there."""

    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._controller = controller
        self.record = RecordModel(controller, self)
        self.setModel(self.record)
        self.setItemDelegate(RecordDelegate(self.record, theme, self))
        self.setAccessibleName("Running record")
        self.setMouseTracking(True)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.selectionModel().currentChanged.connect(self._choose)
        self.activated.connect(self._go_there)
        controller.changed.connect(self._refresh)
        controller.chosen_changed.connect(self._show_choice)

    def _refresh(self) -> None:
        self.record.refresh()
        chosen = self._controller.chosen
        self._show_choice(chosen.id if chosen else None)

    def follow(self, at: Ms) -> None:
        """Keep the tags of the shown frame in view, unless somebody is reading elsewhere in the list."""
        if self.record.follow(at) and not (self.underMouse() or self.hasFocus()):
            self.scrollTo(self.record.index(self.record.last_begun(at)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def _choose(self, current: QModelIndex) -> None:
        row = current.data(ROLE)
        if isinstance(row, RecordRow):
            self._controller.choose(row.tag_id)

    def _show_choice(self, tag_id: str | None) -> None:
        row = self.record.row_of(tag_id)
        if row is None:
            self.selectionModel().clear()
        elif self.currentIndex().row() != row:
            self.setCurrentIndex(self.record.index(row))

    def _go_there(self, index: QModelIndex) -> None:
        row = index.data(ROLE)
        if isinstance(row, RecordRow):
            self._controller.go_to_tag(row.tag_id)
