"""The panels beside the picture: which of them are seen, and how commands lead into them."""

from collections.abc import Mapping

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QStackedWidget, QWidget

from annotator.desktop.checks.findings_panel import FindingsPanel
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.publishing.panel import PublishPanel
from annotator.desktop.record.page import RecordPage
from annotator.desktop.steps.step_sheet import StepSheet
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
        publish: PublishPanel,
        actions: Mapping[str, QAction],
        preferences: Preferences,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._sheet = sheet
        self._record_page = record_page
        self._findings = findings
        self._publish = publish
        self.side = QStackedWidget()
        self.side.setProperty("kind", "side")
        self.side.setProperty("edge", "left")
        for page in (record_page, findings, publish):
            self.side.addWidget(page)
        self.columns = Columns(sheet, picture, self.side, actions, preferences)
        findings.closed.connect(self._back_to_record)
        publish.closed.connect(self._back_to_record)
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

    def show_publish(self) -> None:
        self._show(self._publish)

    @property
    def has_open(self) -> bool:
        """Whether something stands in front of what is usually there, and can be closed."""
        in_place = self.side.currentWidget() is not self._record_page and not self.columns.side_is_folded
        return in_place or not self._record_page.place_panel.large.isHidden()

    def close_panel(self) -> None:
        """Close what was opened last: the large chart, which stands over the rest, else what is in place of the
        record.
        """
        large = self._record_page.place_panel.large
        if large.isHidden():
            self._back_to_record()
        else:
            large.put_away()

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
        self.show_record()
        self.columns.settle()
        self.changed.emit()

    # --- where the keys go -----------------------------------------------------------------------------------

    def find_step(self) -> None:
        self.columns.open_sheet()
        self._sheet.field.setFocus()
        self._sheet.field.selectAll()

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
        self.show_record()
        self._record_page.place_panel.focus_chart()

    def enlarge_chart(self) -> None:
        """Show the retina chart large beside the side panel, or put it away."""
        self.show_record()
        large = self._record_page.place_panel.large
        if large.isVisible():
            large.put_away()
        else:
            large.open_beside(self.side)
