"""The step sheet: the vocabulary in the order of the operation; a click or Enter tags the shown frame."""

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QItemSelectionModel,
    QModelIndex,
    QPersistentModelIndex,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QAction, QFocusEvent, QMouseEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QListView, QVBoxLayout, QWidget

from annotator.desktop.actions import Keys
from annotator.desktop.controller import Controller
from annotator.desktop.controls import end_typing, plain_tip
from annotator.desktop.fold_button import FoldButton
from annotator.desktop.icons import Icon
from annotator.desktop.reader import Reader
from annotator.desktop.sheet_delegate import SheetDelegate
from annotator.desktop.sheet_rows import SheetRow, rows_of
from annotator.desktop.theme import Theme
from annotator.desktop.times import TimeSoFar, covering
from annotator.desktop.tokens import ROW, UNIT
from annotator.model.timecode import Ms, span

ROLE = Qt.ItemDataRole.UserRole
Index = QModelIndex | QPersistentModelIndex


class SheetModel(QAbstractListModel):
    """Rows of the sheet; the time of each and what runs come from the case when asked for."""

    def __init__(self, controller: Controller, keys: Keys, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._all = rows_of(controller.case.vocabulary, keys)
        self._shown = self._all
        self._words = ""
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
        """Show the rows whose names hold every word, with their groups."""
        self._words = words
        wanted = words.casefold().split()
        kept = [row for row in self._all if not row.is_group and all(word in row.searched for word in wanted)]
        groups = {row.group for row in kept}
        self.beginResetModel()
        self._shown = [row for row in self._all if row in kept or (row.is_group and row.group in groups)]
        self.endResetModel()

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

    def first(self) -> str | None:
        """The first concept shown."""
        return next((row.concept for row in self._shown if not row.is_group), None)

    def row_of(self, concept: str) -> int | None:
        return next((at for at, row in enumerate(self._shown) if row.concept == concept), None)


class StepSheet(QWidget):
    """The sheet with its field to find a step.

    tagged  the IRI of the concept that was clicked or entered
    """

    tagged = Signal(str)

    def __init__(
        self,
        controller: Controller,
        keys: Keys,
        actions: Mapping[str, QAction],
        theme: Theme,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setProperty("kind", "side")
        self.setProperty("edge", "right")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.model = SheetModel(controller, keys, self)
        self.field = _Field(self)
        self.field.textChanged.connect(self.model.filter)
        self.field.returnPressed.connect(self._tag_first)
        self._followed = ""
        self._reader = Reader(self)
        self.view = _Rows(self)
        self.view.setAccessibleName("Step sheet")
        self.view.setModel(self.model)
        self.view.setItemDelegate(SheetDelegate(self.model, theme, self.view))
        self.view.setMouseTracking(True)
        self.view.setUniformItemSizes(True)
        self.view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.view.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.view.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._reader.watch(self.view)
        self.view.clicked.connect(self._tag)
        self.view.activated.connect(self._tag_by_key)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 3 * UNIT, 1, 0)
        column.setSpacing(UNIT)
        around = QHBoxLayout()
        around.setContentsMargins(3 * UNIT, 0, UNIT, UNIT)
        around.setSpacing(UNIT)
        around.addWidget(self.field, 1)
        around.addWidget(FoldButton(actions["fold_sheet"], "Fold the step sheet", Icon.FOLD_LEFT, theme))
        column.addLayout(around)
        column.addWidget(self.view)

    def refresh(self, at: Ms) -> None:
        """Show times and what runs; scroll to the step of the shown frame when it becomes another one.

        Whoever has just scrolled is reading, and is not carried away; nor is what the pointer is about to click.
        """
        self.model.refresh(at)
        step = self.model.covering_step()
        if step != self._followed and not self._reader.is_reading and not self.view.underMouse():
            self._followed = step
            self.reveal(step)

    def reveal(self, concept: str) -> None:
        """Scroll so that a concept's row is seen with its neighbours."""
        row = self.model.row_of(concept)
        if row is not None:
            self.view.scrollTo(self.model.index(row), QListView.ScrollHint.PositionAtCenter)

    def sizeHint(self) -> QSize:
        return QSize(276, 20 * ROW)

    def _tag(self, index: QModelIndex) -> None:
        row = index.data(ROLE)
        if isinstance(row, SheetRow) and not row.is_group:
            self.tagged.emit(row.concept)

    def _tag_by_key(self, index: QModelIndex) -> None:
        # A double click is also an activation, and its first click has tagged already.
        if self.view.hasFocus():
            self._tag(index)

    def _tag_first(self) -> None:
        first = self.model.first()
        if first is not None and self.field.text():
            self.tagged.emit(first)
            self.field.leave()
            self.reveal(first)


class _Rows(QListView):
    """Shows where the keys are as soon as they lead here: at a row that is in sight."""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        end_typing()
        super().mousePressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        in_sight = self.viewport().rect().contains(self.visualRect(self.currentIndex()))
        if not self.currentIndex().isValid() or not in_sight:
            rows = (self.model().index(row, 0) for row in range(self.model().rowCount()))
            usable = (index for index in rows if index.flags() & Qt.ItemFlag.ItemIsEnabled)
            first = next((index for index in usable if self.visualRect(index).top() >= 0), QModelIndex())
            self.selectionModel().setCurrentIndex(first, QItemSelectionModel.SelectionFlag.NoUpdate)


class _Field(QLineEdit):
    """Finds a step; Escape empties it and gives the keys back."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setPlaceholderText("Find a step…")
        self.setAccessibleName("Find a step")
        self.setClearButtonEnabled(True)
        leave = QAction(self)
        leave.setShortcut("Escape")
        leave.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        leave.triggered.connect(self.leave)
        self.addAction(leave)

    def leave(self) -> None:
        self.clear()
        self.clearFocus()
