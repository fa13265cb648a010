"""Where on the retina the selected tag took place: its chart, the place in words, which eye, which view."""

from collections.abc import Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.retina.chart import RetinaChart
from annotator.desktop.retina.large_chart import LargeChart
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import choices, dense, icon_button, label
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.place import Place
from annotator.model.retina import FIELDS, View, place_in_words, view_in_words

_EYES: Mapping[str, Eye | None] = {"which eye?": None, **{f"{eye} eye": eye for eye in Eye}}

_ROOM = 60
"""Characters that fit beside the small chart; the tip and the large chart have all of them."""


class PlacePanel(QWidget):
    """A gesture or a key on a chart is one change; the eye belongs to the case, the view to the user."""

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
        self.eye = dense(choices("Eye", list(_EYES)))
        self.view = dense(choices("View of the retina chart", list(View)))
        self.view.setCurrentText(preferences.retina_view)
        self.words = label("")
        self.words.setWordWrap(True)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._lay_out(actions)
        for chart in (self.chart, self.large.chart):
            chart.place_edited.connect(self._set_place)
        self.eye.activated.connect(self._set_eye)
        self.view.activated.connect(self._set_view)
        controller.changed.connect(self._refresh)
        controller.selection_changed.connect(self._refresh)
        self._refresh()

    def _lay_out(self, actions: Mapping[str, QAction]) -> None:
        larger = icon_button(actions["enlarge_chart"], rank="quiet", width=28)
        larger.setProperty("dense", True)
        head = QHBoxLayout()
        head.setSpacing(UNIT)
        head.addWidget(self.words, 1)
        head.addWidget(larger, 0, Qt.AlignmentFlag.AlignTop)
        beside = QVBoxLayout()
        beside.setSpacing(UNIT)
        beside.addLayout(head, 1)
        beside.addWidget(self.eye)
        beside.addWidget(self.view)
        row = QHBoxLayout(self)
        row.setContentsMargins(3 * UNIT, 0, 4 * UNIT, UNIT)
        row.setSpacing(3 * UNIT)
        row.addWidget(self.chart)
        row.addLayout(beside, 1)

    def _refresh(self) -> None:
        # The place of one tag is not that of the others selected with it.
        tag = self._controller.selected if len(self._controller.all_selected) == 1 else None
        self.setVisible(tag is not None)
        if tag is None:
            self.large.put_away()
            return
        eye, view = self._controller.case.eye, View(self.view.currentText())
        said = place_in_words(tag.place)
        name = edits.name_of(self._controller.case, tag)
        read_only = self._controller.session.read_only
        for chart in (self.chart, self.large.chart):
            chart.show_place(tag.place, eye, view, read_only=read_only)
        self.words.setText(_short(tag.place, read_only))
        self.words.setToolTip(said)
        self.large.words.setText(f"{name}: {said}; {view_in_words(eye, view)}")
        self.eye.setCurrentIndex(list(_EYES.values()).index(eye))
        self.eye.setEnabled(not read_only)

    def focus_chart(self) -> None:
        """Give the keys to the chart: to the large one where that is open."""
        chart = self.large.chart if self.large.isVisible() else self.chart
        chart.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _set_place(self, place: Place) -> None:
        self._controller.describe_selected(place=place)

    def _set_eye(self) -> None:
        eye = _EYES[self.eye.currentText()]
        if eye != self._controller.case.eye:
            self._controller.do(lambda case: edits.set_eye(case, eye))

    def _set_view(self) -> None:
        self._preferences.retina_view = View(self.view.currentText())
        self._refresh()


def _short(place: Place, read_only: bool) -> str:
    """The place in as many words as there is room for beside the small chart; what to do while there is none."""
    if not place and not read_only:
        return "Where on the retina? Click the fields."
    said = place_in_words(place)
    return said if len(said) <= _ROOM else f"{len(place)} of {len(FIELDS)} fields"
