"""A table of figures on screen: sorted by a click on a header, navigated by keys, copied."""

from collections.abc import Set

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from annotator.desktop.theme.tokens import ROW
from annotator.desktop.widgets.copied_table import copy_table
from annotator.desktop.widgets.table import Line, Table, as_csv, as_text
from annotator.desktop.widgets.table_model import TableModel

_NARROW = 64


class FiguresTable(QTableView):
    """went     a row was opened; carries where that leads
    pointed  other rows are selected
    """

    went = Signal(int)
    pointed = Signal()

    def __init__(self, name: str = "Figures", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.figures = TableModel(self)
        self.setModel(self.figures)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW)
        heads = self.horizontalHeader()
        heads.setHighlightSections(False)
        heads.setMinimumSectionSize(_NARROW)
        heads.setResizeContentsPrecision(0)  # by the rows in sight: to look at all of many thousands takes seconds
        heads.setSortIndicatorClearable(True)
        heads.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        self.setSortingEnabled(True)
        self.activated.connect(self._go)
        self.selectionModel().selectionChanged.connect(self.pointed)

    def show_table(self, table: Table) -> None:
        """Show it in the order that was asked for; the words take the room that the figures leave. What was selected
        stays so, as far as it is there.
        """
        is_other = table.heads != self.figures.heads
        held = frozenset[tuple[str, ...]]() if is_other else self._selected_names()
        self.figures.show_table(table)
        self._select(held)
        heads = self.horizontalHeader()
        if is_other:
            heads.setSortIndicator(-1, Qt.SortOrder.AscendingOrder)
        for section in range(len(table.heads)):
            heads.setSectionResizeMode(section, QHeaderView.ResizeMode.ResizeToContents)
        self._fit_words()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_words()

    def _fit_words(self) -> None:
        """The words take what the figures leave; where that is too little for them, the table scrolls sideways."""
        if self.figures.wide not in self.figures.heads:
            return
        heads, words = self.horizontalHeader(), self.figures.heads.index(self.figures.wide)
        taken = sum(heads.sectionSize(section) for section in range(heads.count()) if section != words)
        fits = taken + self.sizeHintForColumn(words) <= self.viewport().width()
        mode = QHeaderView.ResizeMode.Stretch if fits else QHeaderView.ResizeMode.ResizeToContents
        heads.setSectionResizeMode(words, mode)

    def lines(self) -> list[Line]:
        """The selected rows as they stand, or all of them where none is selected."""
        rows = sorted({index.row() for index in self.selectedIndexes()})
        return [self.figures.line_at(row) for row in rows or range(self.figures.rowCount())]

    @property
    def selected_notations(self) -> frozenset[str]:
        return frozenset(self.figures.line_at(index.row()).notation for index in self.selectedIndexes())

    def copy(self) -> None:
        """Put the rows on the clipboard, with the heads of the columns."""
        copy_table(as_text(self.figures.heads, self.lines()), as_csv(self.figures.heads, self.lines()))

    def _selected_names(self) -> frozenset[tuple[str, ...]]:
        return frozenset(self.figures.line_at(index.row()).names for index in self.selectedIndexes())

    def _select(self, names: Set[tuple[str, ...]]) -> None:
        if not names:
            return
        rows = (row for row in range(self.figures.rowCount()) if self.figures.line_at(row).names in names)
        whole = QItemSelectionModel.SelectionFlag.Select | QItemSelectionModel.SelectionFlag.Rows
        for row in rows:
            self.selectionModel().select(self.figures.index(row, 0), whole)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._go(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _go(self, index: QModelIndex) -> None:
        self.went.emit(self.figures.line_at(index.row()).at)
