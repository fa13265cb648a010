"""The check: questions about the tags; a click goes to where to look."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter
from PySide6.QtWidgets import (
    QListView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from annotator.desktop.editing.controller import Controller
from annotator.desktop.theme import typeface
from annotator.desktop.theme.paint import focus_ring, row_ground, write
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import SMALL_SIZE, UNIT
from annotator.desktop.widgets.controls import label
from annotator.desktop.widgets.line_wrap import LineWrap
from annotator.desktop.widgets.side_page import SidePage
from annotator.measure import tag_notes
from annotator.measure.finding import Finding
from annotator.measure.findings import findings, looked_for
from annotator.model.timecode import clock


class FindingsPanel(SidePage):
    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Check", theme, parent)
        self._controller = controller
        self._none = label("", "second")
        self._none.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        self.list = QListWidget()
        self.list.setAccessibleName("Questions about the tags")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        LineWrap(self.list)
        self.list.setItemDelegate(_Question(theme, self.list))
        self.list.itemClicked.connect(self._go)
        self.list.itemActivated.connect(self._go)
        self._looked_for = label("", "second")
        self._looked_for.setWordWrap(True)
        self._looked_for.setContentsMargins(4 * UNIT, UNIT, 4 * UNIT, 3 * UNIT)
        self.column.addWidget(self._none)
        self.column.addWidget(self.list, 1)
        self.column.addWidget(self._looked_for)
        self.column.addStretch(0)

    def refresh(self) -> int:
        """Ask again; returns how many questions there are."""
        found = findings(self._controller.case)
        self._none.setText("No problems found." if self._controller.case.tags else "Nothing is tagged yet.")
        self._none.setVisible(not found)
        self.list.setVisible(bool(found))
        self._say_what_was_looked_for(bool(found))
        self.list.clear()
        for finding in found:
            item = QListWidgetItem(f"{clock(finding.at)}, {finding.says}")
            item.setData(Qt.ItemDataRole.UserRole, finding)
            self.list.addItem(item)
        return len(found)

    def _say_what_was_looked_for(self, is_short: bool) -> None:
        """In full where nothing was found; beside questions in a line, with all of it to be pointed at. Either way
        that times are not the operation's, where a recording is altered.
        """
        kinds = looked_for(self._controller.case)
        in_full = f"Looked for: {', '.join(kinds)}."
        self._looked_for.setVisible(bool(self._controller.case.tags))
        altered = "\n".join(tag_notes.altered(self._controller.case))
        looked = f"Looked for {len(kinds)} kinds of problem" if is_short else in_full
        self._looked_for.setText(f"{altered}\n{looked}" if altered else looked)
        self._looked_for.setToolTip(in_full if is_short else "")
        self._looked_for.setAccessibleDescription(in_full if is_short else "")

    def finding(self, index: QModelIndex) -> Finding | None:
        """What a line asks."""
        found = index.data(Qt.ItemDataRole.UserRole)
        return found if isinstance(found, Finding) else None

    def go_to(self, finding: Finding) -> None:
        """Show the frame that a question is about, and select its tag."""
        self._controller.player.seek(finding.at)
        self._controller.select(finding.tag_ids[0] if finding.tag_ids else None)

    def _go(self, item: QListWidgetItem) -> None:
        finding = item.data(Qt.ItemDataRole.UserRole)
        if isinstance(finding, Finding):
            self.go_to(finding)


class _Question(QStyledItemDelegate):
    """Paints the time, and the question in as many lines as it takes."""

    _TOP, _TIME, _SIDE = 2 * UNIT, 4 * UNIT, 4 * UNIT
    _WRAP = Qt.TextFlag.TextWordWrap

    def __init__(self, theme: Theme, view: QListWidget) -> None:
        super().__init__(view)
        self._theme = theme
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        finding: Finding = index.data(Qt.ItemDataRole.UserRole)
        width = self._view.viewport().width()
        room = QRect(0, 0, width - 2 * self._SIDE, 10_000)
        text = QFontMetrics(typeface.text()).boundingRect(room, self._WRAP, finding.says)
        return QSize(width, text.height() + self._TIME + 2 * self._TOP)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        finding: Finding = index.data(Qt.ItemDataRole.UserRole)
        colours, area = self._theme.colours, option.rect
        row_ground(painter, option, colours)
        inside = area.adjusted(self._SIDE, self._TOP, -self._SIDE, -self._TOP)
        painter.setFont(typeface.figures(SMALL_SIZE))
        write(painter, QRect(inside.left(), inside.top(), inside.width(), self._TIME), clock(finding.at), colours.muted)
        painter.setFont(typeface.text())
        painter.setPen(QColor(colours.text))
        painter.drawText(inside.adjusted(0, self._TIME, 0, 0), self._WRAP, finding.says)
        if option.state & QStyle.StateFlag.State_HasFocus:
            focus_ring(painter, area, colours)
