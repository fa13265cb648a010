"""The check: questions about the tags; a click goes to where to look."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from annotator.desktop.controller import Controller
from annotator.desktop.controls import label
from annotator.desktop.side_page import SidePage
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT
from annotator.measure.findings import Finding, findings
from annotator.model.timecode import clock


class FindingsPanel(SidePage):
    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Check", theme, parent)
        self._controller = controller
        self._none = label("Nothing to ask about these tags.", "second")
        self._none.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        self._list = QListWidget()
        self._list.setAccessibleName("Questions about the tags")
        self._list.setWordWrap(True)
        self._list.setSpacing(2)
        self._list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._list.setStyleSheet(f"QListWidget::item {{ padding: {UNIT}px 0; }}")
        self._list.itemClicked.connect(self._go)
        self._list.itemActivated.connect(self._go)
        self.column.addWidget(self._none)
        # Room at the sides comes from here: padding would not be reckoned with where the lines are broken.
        inside = QVBoxLayout()
        inside.setContentsMargins(4 * UNIT, 0, 2 * UNIT, 0)
        inside.addWidget(self._list)
        self.column.addLayout(inside, 1)
        self.column.addStretch(0)

    def refresh(self) -> int:
        """Ask again; returns how many questions there are."""
        found = findings(self._controller.case)
        self._none.setVisible(not found)
        self._list.setVisible(bool(found))
        self._list.clear()
        for finding in found:
            item = QListWidgetItem(f"{clock(finding.at)}\n{finding.says}")
            item.setData(Qt.ItemDataRole.UserRole, finding)
            self._list.addItem(item)
        return len(found)

    def _go(self, item: QListWidgetItem) -> None:
        finding = item.data(Qt.ItemDataRole.UserRole)
        if isinstance(finding, Finding):
            self._controller.player.seek(finding.at)
            self._controller.choose(finding.tag_ids[0] if finding.tag_ids else None)
