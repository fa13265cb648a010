"""The panels beside the picture: which of them are shown, and how commands open them."""

from collections.abc import Mapping

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QStackedWidget, QWidget

from annotator.desktop.checks.findings_panel import FindingsPanel
from annotator.desktop.comparison.panel import ComparisonPanel
from annotator.desktop.facts.panel import FactsPanel
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.publishing.panel import PublishPanel
from annotator.desktop.record.page import RecordPage
from annotator.desktop.steps.step_sheet import StepSheet
from annotator.desktop.summary.page import SummaryPage
from annotator.desktop.widgets.focus import give_up_focus
from annotator.desktop.workspace.columns import Columns
from annotator.desktop.workspace.picture import Picture


class Panels(QObject):
    """publishing  whether publishing is what is seen at the right now
    changed     something was opened or closed
    """

    publishing = Signal(bool)
    changed = Signal()

    def __init__(
        self,
        sheet: StepSheet,
        picture: Picture,
        record_page: RecordPage,
        findings: FindingsPanel,
        facts: FactsPanel,
        publish: PublishPanel,
        summary: SummaryPage,
        comparison: ComparisonPanel,
        actions: Mapping[str, QAction],
        preferences: Preferences,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._sheet = sheet
        self._record_page = record_page
        self._findings = findings
        self._facts = facts
        self._publish = publish
        self._picture = picture
        self._summary = summary
        self._comparison = comparison
        self.side = QStackedWidget()
        self.side.setProperty("kind", "side")
        self.side.setProperty("edge", "left")
        for page in (record_page, findings, facts, publish, comparison):
            self.side.addWidget(page)
        self.middle = QStackedWidget()
        for shown in (picture, summary):
            self.middle.addWidget(shown)
        self.columns = Columns(sheet, self.middle, self.side, actions, preferences)
        findings.closed.connect(self._back_to_record)
        facts.closed.connect(self._back_to_record)
        publish.closed.connect(self._back_to_record)
        comparison.closed.connect(self._back_to_record)
        publish.figures_wanted.connect(self.show_summary)
        summary.closed.connect(self.show_picture)
        record_page.place_panel.large.shown.connect(self.changed)

    def refresh(self) -> None:
        """Ask anew what the page that is seen has to ask."""
        if self.side.currentWidget() is self._findings:
            self._findings.refresh()

    # --- which are seen --------------------------------------------------------------------------------------

    def show_record(self) -> None:
        self._show(self._record_page)

    def show_findings(self) -> None:
        self._findings.refresh()
        self._show(self._findings)

    def show_facts(self) -> None:
        self._show(self._facts)
        self._facts.focus_first()

    def show_publish(self) -> None:
        self._show(self._publish)

    def show_comparison(self) -> None:
        self._comparison.refresh()
        self._show(self._comparison)

    def show_summary(self) -> None:
        """Show the figures in place of picture and step list, or these again."""
        if self.middle.currentWidget() is self._summary:
            self.show_picture()
        else:
            self.middle.setCurrentWidget(self._summary)
            self.columns.put_sheet_away()
            self._summary.table.setFocus()
            self.changed.emit()

    def show_picture(self) -> None:
        """Show the picture, whatever stands in its place."""
        if self.middle.currentWidget() is not self._picture:
            give_up_focus(self._summary)
            self.middle.setCurrentWidget(self._picture)
            self.columns.settle_sheet()
            self._picture.setFocus()
            self.changed.emit()

    @property
    def has_open(self) -> bool:
        """Whether something stands in front of what is usually there, and can be closed."""
        in_place = self.side.currentWidget() is not self._record_page and not self.columns.side_is_folded
        over = not self._record_page.place_panel.large.isHidden()
        return in_place or over or self.middle.currentWidget() is self._summary

    def close_panel(self) -> None:
        """Close the large chart, which is over the rest, else what is in place of the tag list, or of the picture."""
        large = self._record_page.place_panel.large
        if not large.isHidden():
            large.put_away()
        elif self.side.currentWidget() is not self._record_page and not self.columns.side_is_folded:
            self._back_to_record()
        else:
            self.show_picture()

    def fold_sheet(self) -> None:
        self.columns.fold_sheet()

    def fold_side(self) -> None:
        self.columns.fold_side()
        self.changed.emit()

    def _show(self, page: QWidget) -> None:
        self.side.setCurrentWidget(page)
        self.columns.open_side()
        self.publishing.emit(page is self._publish)
        self.changed.emit()

    def _back_to_record(self) -> None:
        give_up_focus(self.side)  # else the pages would hand it to the field that filters the tags, and keys be typed
        self.show_record()
        self.columns.settle()
        if self.middle.currentWidget() is self._summary:
            self.columns.put_sheet_away()
        self.changed.emit()

    # --- where the keys go -----------------------------------------------------------------------------------

    def find_step(self) -> None:
        self.columns.open_sheet()
        self._sheet.field.setFocus()
        self._sheet.field.selectAll()

    def go_to_kind(self) -> None:
        self.columns.open_sheet()
        self._sheet.kind.setFocus()

    def filter_tags(self) -> None:
        self.show_record()
        self._record_page.filter.setFocus()
        self._record_page.filter.selectAll()

    def go_to_sheet(self) -> None:
        self.columns.open_sheet()
        self._sheet.view.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to_record(self) -> None:
        self.show_record()
        self._record_page.record.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def go_to_fields(self) -> None:
        self.show_record()
        self._record_page.tag_panel.focus_start()

    def go_to_place(self) -> None:
        """To the chart that is seen; where there is room for none, the large one opens."""
        self.show_record()
        place = self._record_page.place_panel
        if place.has_chart or place.large.isVisible():
            place.focus_chart()
        else:
            place.large.open_beside(self.side)

    def enlarge_chart(self) -> None:
        """Show the retina chart large beside the side panel, or put it away."""
        self.show_record()
        large = self._record_page.place_panel.large
        if large.isVisible():
            large.put_away()
        else:
            large.open_beside(self.side)
