"""Where on the retina the selected tag took place: a chart with its options, or a line that opens the large one."""

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.retina.chart import RetinaChart
from annotator.desktop.retina.chart_options import ChartOptions
from annotator.desktop.retina.eye_change import change_eye
from annotator.desktop.retina.large_chart import LargeChart
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import FIELD_LABEL, SMALL_ICON_BUTTON, UNIT
from annotator.desktop.widgets.controls import PushButton, icon_button, label, plain_tip, tip
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.place import Place
from annotator.model.retina import View, place_in_words, view_in_words

_ROOM = 60
"""Characters that fit beside the small chart; the tip and the large chart have all of them."""


class PlacePanel(QWidget):
    """A gesture or a key on a chart is one change; the eye belongs to the case, how its picture stands to a recording.

    The small chart is shown where there is room for it. The line that else stands in its place opens the large one.
    """

    def __init__(
        self,
        controller: Controller,
        actions: Mapping[str, QAction],
        theme: Theme,
        preferences: Preferences,
        over: QWidget,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._controller = controller
        self._preferences = preferences
        self.chart = RetinaChart(theme)
        self.large = LargeChart(theme, over)
        self.options = ChartOptions(QBoxLayout.Direction.TopToBottom)
        self.words = label("")
        self.words.setWordWrap(True)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.line = _PlaceLine(actions["enlarge_chart"])
        self._beside_chart = self._chart_and_words(actions)
        self._lay_out()
        for chart in (self.chart, self.large.chart):
            chart.place_edited.connect(self._set_place)
        for options in (self.options, self.large.options):
            options.eye_selected.connect(self._set_eye)
            options.view_selected.connect(self._set_view)
        controller.changed.connect(self._refresh)
        controller.selection_changed.connect(self._refresh)
        self._refresh()

    def _chart_and_words(self, actions: Mapping[str, QAction]) -> QWidget:
        larger = icon_button(actions["enlarge_chart"], rank="quiet", width=SMALL_ICON_BUTTON)
        larger.setProperty("dense", True)
        head = QHBoxLayout()
        head.setSpacing(UNIT)
        head.addWidget(self.words, 1)
        head.addWidget(larger, 0, Qt.AlignmentFlag.AlignTop)
        beside = QVBoxLayout()
        beside.setSpacing(UNIT)
        beside.addLayout(head, 1)
        beside.addWidget(self.options)
        both = QWidget()
        row = QHBoxLayout(both)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(3 * UNIT)
        row.addWidget(self.chart)
        row.addLayout(beside, 1)
        return both

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        column.setSpacing(0)
        column.addWidget(self._beside_chart)
        column.addWidget(self.line)
        self.show_chart(shown=True)

    def show_chart(self, *, shown: bool) -> None:
        """Show the small chart, or a line in its place."""
        self._beside_chart.setVisible(shown)
        self.line.setVisible(not shown)

    @property
    def has_chart(self) -> bool:
        """Whether there is room for the small chart."""
        return not self._beside_chart.isHidden()

    def _refresh(self) -> None:
        eye, said = self._controller.case.eye, self._controller.case.recordings[self._recording].picture
        view = said or self._preferences.retina_view
        read_only = self._controller.session.read_only
        for options in (self.options, self.large.options):
            options.show_options(eye, said, read_only=read_only)
        # The place of one tag is not that of the others selected with it.
        tag = self._controller.selected if len(self._controller.all_selected) == 1 else None
        self.setVisible(tag is not None)
        if tag is None:
            self.large.put_away()
            return
        words = place_in_words(tag.place)
        name = edits.name_of(self._controller.case, tag)
        for chart in (self.chart, self.large.chart):
            chart.show_place(tag.place, eye, view, read_only=read_only)
        self.words.setText(_short(tag.place, read_only))
        self.words.setToolTip(words)
        self.line.say(words if tag.place else "not said")
        unsure = "" if said else " (picture not said)"
        self.large.words.setText(f"{name}: {words}; {view_in_words(eye, view)}{unsure}")

    def focus_chart(self) -> None:
        """Give the keys to the chart: to the large one where that is open."""
        chart = self.large.chart if self.large.isVisible() else self.chart
        chart.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _set_place(self, place: Place) -> None:
        self._controller.describe_selected(place=place)

    def _set_eye(self, eye: Eye | None) -> None:
        change_eye(self._controller, eye, self.window(), self._refresh)

    def _set_view(self, view: View | None) -> None:
        index = self._recording
        if view is not self._controller.case.recordings[index].picture:
            self._controller.do(lambda case: edits.set_picture(case, index, view))

    @property
    def _recording(self) -> int:
        """The recording in which the selected tag starts, or the one on screen."""
        tag = self._controller.selected
        return self._controller.case.spot(tag.start if tag else self._controller.at).recording


def _short(place: Place, read_only: bool) -> str:
    """The place in as many words as there is room for beside the small chart; what to do while there is none."""
    if not place and not read_only:
        return "Where on the retina? Click the fields."
    said = place_in_words(place)
    return said if len(said) <= _ROOM else f"{len(place)} fields"


class _PlaceLine(QWidget):
    """The place in words, cut where they do not fit, on a button that opens the large chart."""

    def __init__(self, action: QAction) -> None:
        super().__init__()
        self._action = action
        self._said = ""
        self.button = PushButton()
        self.button.setProperty("kind", "field")
        self.button.setProperty("dense", True)
        self.button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.button.clicked.connect(action.trigger)
        name = label("Place", "second")
        name.setMinimumWidth(FIELD_LABEL)
        name.setBuddy(self.button)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, UNIT, 0, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addWidget(name)
        row.addWidget(self.button, 1)
        action.changed.connect(self._show)

    def say(self, place: str) -> None:
        self._said = place
        self._show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._show()

    def _show(self) -> None:
        room = self.button.width() - self.button.iconSize().width() - 6 * UNIT
        self.button.setIcon(self._action.icon())
        self.button.setText(self.fontMetrics().elidedText(self._said, Qt.TextElideMode.ElideRight, room))
        self.button.setAccessibleName(f"Place: {self._said}")
        self.button.setToolTip(plain_tip(self._said, tip(self._action)))
