"""The summary of the open case: the figures of a category as tables, kept up to date, copied, and written to files."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QButtonGroup, QFileDialog, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.summary.occurrence_strip import OccurrenceStrip
from annotator.desktop.summary.saving import ENDINGS, file_of, usual_name
from annotator.desktop.summary.tables import OCCURRENCES, VIEWS, WITHIN, Figures, figures_of
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox, PushButton, word_button
from annotator.desktop.widgets.labels import WrappedLabel
from annotator.desktop.widgets.side_page import SidePage
from annotator.desktop.widgets.table_view import FiguresTable
from annotator.measure.durations import Summary
from annotator.measure.within import PERFORMER
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.publish.report.wording import film_only, length, operating

_MOST_NOTES = 3


class SummaryPage(SidePage):
    """refreshed  the figures of the case as it is now are shown
    saved      a file was written, or could not be
    """

    refreshed = Signal()
    saved = Signal()

    def __init__(
        self, controller: Controller, theme: Theme, preferences: Preferences, parent: QWidget | None = None
    ) -> None:
        super().__init__("Summary", theme, parent)
        self.setProperty("kind", "panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Ignored)
        self._controller = controller
        self._preferences = preferences
        self._figures: Figures | None = None
        self.category = _categories(controller)
        self.inside = _insides(controller)
        self.table = FiguresTable()
        self.strip = OccurrenceStrip(theme)
        self._totals = WrappedLabel()
        self._notes = WrappedLabel("warning")
        self.views, self._group = _views(self)
        self.order = ChoiceBox("Sort by")
        self.order.setSizeAdjustPolicy(ChoiceBox.SizeAdjustPolicy.AdjustToContents)
        self.copy = word_button("Copy", self.table.copy, "Copy the table")
        self.save = word_button("Save…", self._save, "Save the table as a file")
        self._counting, self._saving = LatestTask(self), LatestTask(self)
        self._lay_out()
        self._join()

    def close_down(self) -> None:
        """Count and write no more once this returns."""
        self._counting.close_down()
        self._saving.close_down()

    @property
    def view(self) -> str:
        """Which of the tables is shown, by its words."""
        return next(words for words, button in self.views.items() if button.isChecked())

    @property
    def totals(self) -> str:
        return self._totals.text()

    def _lay_out(self) -> None:
        choices = QHBoxLayout()
        choices.setSpacing(2 * UNIT)
        choices.addWidget(self.category)
        for button in self.views.values():
            choices.addWidget(button)
        choices.addStretch(1)
        for control in (self.order, self.copy, self.save):
            self.add_to_head(control)
        inside = QVBoxLayout()
        inside.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 2 * UNIT)
        inside.setSpacing(2 * UNIT)
        inside.addLayout(choices)
        inside.addLayout(self._row_of_totals())
        inside.addWidget(self.strip)
        inside.addWidget(self.table, 1)
        inside.addWidget(self._notes)
        self._notes.say("")
        self.column.addLayout(inside, 1)

    def _row_of_totals(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(2 * UNIT)
        row.addWidget(self._totals, 1)
        row.addWidget(self.inside)
        return row

    def _join(self) -> None:
        self._controller.changed.connect(self._refresh)
        self.category.currentIndexChanged.connect(self._refresh)
        self.inside.currentIndexChanged.connect(self._refresh)
        self._group.buttonClicked.connect(self._show)
        self._counting.came.connect(self._take)
        self._saving.came.connect(self._tell_saved)
        self._saving.failed.connect(self._tell_not_saved)
        self.order.currentIndexChanged.connect(self._sort)
        self.table.horizontalHeader().sortIndicatorChanged.connect(self._show_order)
        self.table.went.connect(self._controller.player.seek)
        self.strip.went.connect(self._controller.player.seek)
        self.table.pointed.connect(lambda: self.strip.set_off(self.table.selected_notations))

    # --- following the case ----------------------------------------------------------------------------------

    def _refresh(self) -> None:
        """Count anew, beside the window, while somebody looks."""
        if self.isVisible():
            case, facet, inside = self._controller.case, self.category.currentData(), self.inside.currentData()
            self._counting.run(lambda _progress: figures_of(case, facet, inside))

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._counting.forget()

    def _take(self, figures: object) -> None:
        if isinstance(figures, Figures):
            self._figures = figures
            self._show()
            self.refreshed.emit()

    def _show(self) -> None:
        if self._figures is None:
            return
        summary, visits, tables = self._figures
        self.inside.setVisible(self.view == WITHIN)
        self.table.show_table(tables[self.view])
        self._offer_orders()
        self.strip.show_visits(self._controller.case, visits)
        self._totals.say("  ·  ".join(_totals(summary)))
        more = len(summary.notes) - _MOST_NOTES
        told = [*summary.notes[:_MOST_NOTES], *([f"and {more} more"] if more > 0 else [])]
        self._notes.say("\n".join(told) if summary.rows else "Nothing is tagged in this category yet.")

    # --- the order, by the heads of the columns or by keys ---------------------------------------------------

    def _offer_orders(self) -> None:
        heads = self.table.figures.heads
        if self.order.count() != len(heads) + 1 or self.order.itemText(1) != f"Sort by {heads[0].lower()}":
            self.order.blockSignals(True)
            self.order.clear()
            self.order.addItem("Order of the case" if self.view == OCCURRENCES else "Order of the vocabulary", -1)
            for column, head in enumerate(heads):
                self.order.addItem(f"Sort by {head.lower()}", column)
            self.order.blockSignals(False)

    def _sort(self) -> None:
        column = self.order.currentData()
        is_figure = column >= 0 and self.table.figures.is_figure(column)
        self.table.sortByColumn(column, Qt.SortOrder.DescendingOrder if is_figure else Qt.SortOrder.AscendingOrder)

    def _show_order(self, column: int) -> None:
        self.order.blockSignals(True)
        self.order.setCurrentIndex(max(self.order.findData(column), 0))
        self.order.blockSignals(False)

    # --- files -----------------------------------------------------------------------------------------------

    def _save(self) -> None:
        """Ask for a name; the file says what the published one of that form says."""
        session = self._controller.session
        folder = self._preferences.publish_folder or session.path.parent
        begun = folder / usual_name(session.case, self.view)
        chosen, _ = QFileDialog.getSaveFileName(self, f"Save: {self.view.lower()}", str(begun), ENDINGS[self.view])
        if chosen:
            facet, inside, path = self.category.currentData(), self.inside.currentData(), Path(chosen)
            self._saving.run(partial(file_of, session.case, session.path, self.view, facet, inside, path))

    def _tell_saved(self, path: object) -> None:
        self._controller.said.emit(f"Saved {path}", False)
        self.saved.emit()

    def _tell_not_saved(self, error: object) -> None:
        self._controller.said.emit(str(error), True)
        self.saved.emit()


def _totals(summary: Summary) -> list[str]:
    """What stands above the tables."""
    said = [*filter(None, [film_only(summary)]), f"Recording {length(summary.duration)}"]
    said.append(f"operating time {operating(summary)}")
    if summary.untagged is not None and summary.overlap is not None:
        said += [f"untagged {length(summary.untagged)}", f"overlap {length(summary.overlap)}"]
    return [*said, f"{sum(row.visits for row in summary.rows)} occurrences"]


def _insides(controller: Controller) -> ChoiceBox:
    """What may lie within a step: the performer, or another category."""
    made = ChoiceBox("Within a step")
    for facet in controller.case.vocabulary.facets:
        if not facet.exclusive:
            made.addItem(label_in(facet.label, DEFAULT_LANGUAGE) or facet.name, facet.name)
    made.addItem("Performer", PERFORMER)
    return made


def _categories(controller: Controller) -> ChoiceBox:
    """Those of the vocabulary; steps first in sight, where there are any."""
    made = ChoiceBox("Category")
    for facet in controller.case.vocabulary.facets:
        made.addItem(label_in(facet.label, DEFAULT_LANGUAGE) or facet.name, facet.name)
    made.setCurrentIndex(max(made.findData("step"), 0))
    return made


def _views(parent: QWidget) -> tuple[dict[str, PushButton], QButtonGroup]:
    """A button for each table, one of them pressed."""
    group = QButtonGroup(parent)
    made: dict[str, PushButton] = {}
    for words in VIEWS:
        button = PushButton(words)
        button.setCheckable(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        group.addButton(button)
        made[words] = button
    next(iter(made.values())).setChecked(True)
    return made, group
