"""The comparison: another person's tags beside those of the open case, and what to do where they differ."""

from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from annotator.desktop.comparison.compared import HEADS, Compared, compared, read_other
from annotator.desktop.comparison.two_rows import TwoRows
from annotator.desktop.editing.controller import Controller
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.controls import ChoiceBox, plain_tip, word_button
from annotator.desktop.widgets.labels import ElidedLabel, WrappedLabel
from annotator.desktop.widgets.side_page import SidePage
from annotator.desktop.widgets.table import Table
from annotator.desktop.widgets.table_view import FiguresTable
from annotator.measure.agreement.spans import Piece
from annotator.measure.over_cases.caution import CAUTION
from annotator.model.case import Case, Tag
from annotator.model.edits import new_id
from annotator.model.interval import Interval
from annotator.model.settle import settle
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.plain_text import plain

_HINT = "Open another person’s case of the same recording to see where you agree, and where not."
_LOW = 560
"""Height in pixels below which the list of disagreements needs the room of all figures but the first."""


_FEWEST_ROWS = 3
"""Of the list that are always there; where the panel is lower, all of it scrolls."""


class _Disagreements(FiguresTable):
    """Asks for a few rows and takes what room there is."""

    def sizeHint(self) -> QSize:
        bar = self.horizontalScrollBar().sizeHint().height()
        return QSize(super().sizeHint().width(), self.horizontalHeader().height() + _FEWEST_ROWS * ROW + bar)

    def minimumSizeHint(self) -> QSize:
        return QSize(super().minimumSizeHint().width(), self.sizeHint().height())


class ComparisonPanel(SidePage):
    """refreshed  the comparison of the case as it is now is shown, or why there is none"""

    refreshed = Signal()

    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Comparison", theme, parent)
        self._controller = controller
        self._other: Case | None = None
        self._found: Compared | None = None
        self._reading, self._comparing = LatestTask(self), LatestTask(self)
        self.open = word_button("Open other case…", self.choose_other, "Open another person's case of this recording")
        self.name = ElidedLabel("second")
        self.category = _categories(controller)
        self.figures = WrappedLabel("")
        self.rows = TwoRows(theme)
        self.table = _Disagreements("Disagreements, the longest first")
        self.hint = WrappedLabel()
        self.says = WrappedLabel("warning")
        self.next = word_button("Next", self.go_to_next, "Go to the next disagreement")
        self.keep = word_button("Use the other’s", self.use_other, "Let this case say what the other one says there")
        self._lay_out()
        self._join()
        self._show_none("")

    def _lay_out(self) -> None:
        self.add_to_head(self.open)
        where = QHBoxLayout()
        where.setSpacing(2 * UNIT)
        where.addWidget(self.name, 1)
        where.addWidget(self.category)
        does = QHBoxLayout()
        does.setSpacing(2 * UNIT)
        does.addWidget(self.next)
        does.addWidget(self.keep)
        does.addStretch(1)
        caution = WrappedLabel()
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        page = QWidget()
        scroll.setWidget(page)
        inside = QVBoxLayout(page)
        inside.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 3 * UNIT)
        inside.setSpacing(2 * UNIT)
        inside.addLayout(where)
        inside.addWidget(self.hint)
        inside.addWidget(self.says)
        inside.addWidget(self.figures)
        inside.addWidget(self.rows)
        inside.addLayout(does)
        inside.addWidget(self.table, 1)
        inside.addWidget(caution)
        inside.addStretch(0)
        self.column.addWidget(scroll, 1)
        # Only now, as what is shown before it has its place would be a window of its own, and take the keys.
        self.hint.say(_HINT)
        caution.say(CAUTION)

    def _join(self) -> None:
        self._reading.came.connect(self._take_other)
        self._comparing.came.connect(self._take)
        for task in (self._reading, self._comparing):
            task.failed.connect(self._take_fault)
        self._controller.changed.connect(self.refresh)
        self.category.currentIndexChanged.connect(self.refresh)
        self.rows.went.connect(self._controller.player.seek)
        self.table.pointed.connect(self._point)
        self.table.went.connect(self._go)

    def close_down(self) -> None:
        """Nothing is compared any more once this returns."""
        self._reading.close_down()
        self._comparing.close_down()

    # --- the two cases -----------------------------------------------------------------------------------------------

    def choose_other(self) -> None:
        """Ask for the other person's case."""
        folder = str(self._controller.session.path.parent)
        chosen, _ = QFileDialog.getOpenFileName(self, "Open other case", folder, "Cases (*.jsonld *.json)")
        if chosen:
            self.open_other(Path(chosen))

    def open_other(self, path: Path) -> None:
        """Compare with another case."""
        session = self._controller.session
        self.name.setText(plain(path.name))
        self._reading.run(read_other(session.case, session.path, path))

    def refresh(self) -> None:
        """Compare anew what has changed, beside the window."""
        if self._other is not None:
            self._comparing.run(compared(self._controller.case, self._other, self.category.currentData()))

    def _take_other(self, other: object) -> None:
        if isinstance(other, Case):
            self._other = other
            self.refresh()

    def _take(self, found: object) -> None:
        if not isinstance(found, Compared):
            return
        held = self.selected
        self._found = found
        self.says.say("\n".join(found.agreement.notes[:2]))
        self._show_figures()
        self.hint.hide()
        self.rows.show_compared(found)
        self.table.show_table(found.table)
        for part in (self.figures, self.rows, self.table, self.next, self.keep, self.category):
            part.show()
        for button in (self.next, self.keep):
            button.setEnabled(bool(found.disagreements))
        self.keep.setEnabled(self._may_settle)
        if held in found.disagreements:
            self.table.selectRow(found.disagreements.index(held))
        self.refreshed.emit()

    def _show_figures(self) -> None:
        """All of them where there is room; the tip has them in any case."""
        if self._found is not None:
            in_full = "\n".join(self._found.lines)
            self.figures.say(in_full if self.height() >= _LOW else self._found.lines[0])
            self.figures.setToolTip(plain_tip(*self._found.lines))
            self.figures.setAccessibleDescription(in_full)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show_figures()

    def _take_fault(self, error: object) -> None:
        self._other = None
        self._show_none(str(error))
        self.refreshed.emit()

    def _show_none(self, says: str) -> None:
        self._found = None
        self.table.show_table(Table(HEADS, (), HEADS[1]))
        for part in (self.figures, self.rows, self.table, self.next, self.keep, self.category):
            part.hide()
        self.says.say(says)
        self.hint.setVisible(not says)

    # --- one disagreement after the other ----------------------------------------------------------------------------

    @property
    def selected(self) -> Piece | None:
        """The disagreement that is selected in the table."""
        rows = self.table.selectionModel().selectedRows()
        if self._found is None or not rows:
            return None
        return self._found.disagreements[self.table.figures.line_at(rows[0].row()).at]

    def go_to_next(self) -> None:
        """Select the next disagreement of the table, after the last the first, and go there."""
        count = self.table.figures.rowCount()
        if count:
            rows = self.table.selectionModel().selectedRows()
            self.table.selectRow((rows[0].row() + 1) % count if rows else 0)
            self._go(self.table.figures.line_at(self.table.selectionModel().selectedRows()[0].row()).at)

    def use_other(self) -> None:
        """Let this case say what the other says over the selected disagreement; it can be undone."""
        piece, found = self.selected, self._found
        if piece is None or found is None:
            return
        theirs = piece.names[1]
        instead = None if theirs is None else self._tag_of(found.other, piece, theirs)
        if theirs is not None and instead is None:
            label = found.agreement.labels.get(theirs, theirs)
            self._controller.said.emit(f"The vocabulary of this case has no {label}; add it to the case first", True)
            return
        stretch = Interval(piece.start, piece.end)
        self._controller.do(lambda case: settle(case, found.facet, stretch, instead, new_id))

    def _tag_of(self, other: Case, piece: Piece, notation: str) -> Tag | None:
        """The other person's tag there, in the vocabulary of this case; None where that does not have it."""
        concept = self._controller.case.vocabulary.called(notation)
        if concept is None:
            return None
        there = [
            tag
            for tag in other.covering(piece.start)
            if (said := other.concept_of(tag)) is not None and said.notation == notation
        ]
        found = there[0] if there else Tag("", concept.iri, piece.start, piece.end)
        return found if found.concept == concept.iri else Tag("", concept.iri, piece.start, piece.end)

    @property
    def _may_settle(self) -> bool:
        """Only where one thing is said at a time there is one side to take."""
        found = self._found
        return found is not None and found.agreement.is_exclusive and not self._controller.session.read_only

    def _point(self) -> None:
        self.rows.set_off(self.selected)
        self.keep.setEnabled(self._may_settle and self.selected is not None)

    def _go(self, row: int) -> None:
        if self._found is not None:
            self._controller.player.seek(self._found.disagreements[row].start)


def _categories(controller: Controller) -> ChoiceBox:
    made = ChoiceBox("Category")
    for facet in controller.case.vocabulary.facets:
        made.addItem(label_in(facet.label, DEFAULT_LANGUAGE) or facet.name, facet.name)
    made.setCurrentIndex(max(made.findData("step"), 0))
    return made
