"""The usual right-hand side: the tag list, and below it the selected tag with its place."""

from collections.abc import Mapping

from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.record.tag_list import TagList
from annotator.desktop.record.tag_panel import TagPanel
from annotator.desktop.retina.place_panel import PlacePanel
from annotator.desktop.theme.icons import Icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import ROW, UNIT
from annotator.desktop.widgets.controls import FoldButton, label
from annotator.desktop.widgets.filter_field import FilterField
from annotator.desktop.widgets.scroll import FittingScroll

_ROWS, _FEWEST_ROWS = 8, 2
"""Lines of the list that are seen before the form gets more room than it must have, and in the lowest window."""

_HEIGHT_WITH_CHART = 494
"""Pixels of the page in which so many lines, the form and the small chart have room."""

_FORM_LEAST = 120
"""Pixels below which there is no use in a form that scrolls."""

_NO_TAGS = "Nothing is tagged yet. Press a step’s key, or click the key in its row, while the recording plays."


class RecordPage(QWidget):
    """The list takes what the form leaves; in a low window the chart goes first, and then the form scrolls."""

    def __init__(
        self,
        controller: Controller,
        actions: Mapping[str, QAction],
        theme: Theme,
        preferences: Preferences,
        over: QWidget,
    ) -> None:
        super().__init__()
        self.record = TagList(controller, theme)
        self.record.setMinimumHeight(_FEWEST_ROWS * ROW)
        self.filter = FilterField("Filter tags", theme)
        self.filter.setProperty("dense", True)
        self.filter.setToolTip("By step, category, performer or words of a note")
        self.filter.textChanged.connect(self.record.narrow)
        self.filter.returnPressed.connect(self.record.setFocus)
        self._count = label("", "second")
        self._controller = controller
        self.tag_panel = TagPanel(controller)
        self.place_panel = PlacePanel(controller, actions, theme, preferences, over)
        self.empty_hint = label("", "second")
        self.empty_hint.setWordWrap(True)
        self.empty_hint.setContentsMargins(4 * UNIT, 2 * UNIT, 4 * UNIT, 0)
        self._head = QWidget()
        head = QHBoxLayout(self._head)
        head.setContentsMargins(4 * UNIT, 2 * UNIT, 2 * UNIT, 0)
        head.setSpacing(2 * UNIT)
        head.addWidget(label("Tag list", "group"))
        head.addWidget(self.filter, 1)
        head.addWidget(self._count)
        head.addWidget(FoldButton(actions["fold_side"], "Collapse the tag list", Icon.FOLD_RIGHT, theme))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._head)
        column.addWidget(self.empty_hint)
        column.addWidget(self.record, 1)
        column.addWidget(_line())
        self._about = self._about_the_tag()
        column.addWidget(self._about)
        for changes in (self.filter.textChanged, self.record.record.rowsInserted, self.record.record.rowsRemoved):
            changes.connect(self.show_what_is_there)
        self.show_what_is_there()

    def show_what_is_there(self) -> None:
        """How many of the tags are shown, and why there are none."""
        self._show_count()
        hint = self._why_empty()
        self.empty_hint.setText(hint)
        self.empty_hint.setVisible(bool(hint))

    def _why_empty(self) -> str:
        if not self._controller.case.tags:
            return _NO_TAGS
        if not self.record.record.rowCount() and self.filter.text().strip():
            return f"No tag matches “{self.filter.text().strip()}”. Try another word; Esc shows all tags."
        return ""

    def _show_count(self) -> None:
        """How many of the tags are shown, while only some may be."""
        self._count.setText(f"{self.record.record.rowCount()} of {len(self._controller.case.tags)}")
        self._count.setVisible(bool(self.filter.text()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """By the height of the page alone: the chart must not come and go with the length of a note."""
        super().resizeEvent(event)
        self.place_panel.show_chart(shown=self.height() >= _HEIGHT_WITH_CHART)
        room = self.height() - self._head.sizeHint().height() - _ROWS * ROW
        self._about.setMaximumHeight(max(room, _FORM_LEAST))

    def _about_the_tag(self) -> FittingScroll:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.tag_panel)
        column.addWidget(self.place_panel)
        column.addStretch(1)
        return FittingScroll(inside)


def _line() -> QFrame:
    line = QFrame()
    line.setFixedHeight(1)
    line.setProperty("kind", "line")
    return line
