"""Where on the retina the chosen tag took place: the chart, which eye, which way round, and all of it in words."""

from PySide6.QtCore import QSettings, Qt
from PySide6.QtWidgets import QFormLayout, QVBoxLayout, QWidget

from annotator.desktop.controller import Controller
from annotator.desktop.controls import choices, label
from annotator.desktop.retina_chart import RetinaChart
from annotator.desktop.theme import Theme
from annotator.desktop.tokens import UNIT
from annotator.model import edits
from annotator.model.case import Eye
from annotator.model.place import Place
from annotator.model.retina import View, place_in_words, view_in_words

_NOT_SAID = "not said"
_SETTING = "retina_view"


class PlacePanel(QWidget):
    """A gesture or a key on the chart is one change; the eye belongs to the case, the view to the user."""

    def __init__(
        self, controller: Controller, theme: Theme, settings: QSettings, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._controller = controller
        self._settings = settings
        self.chart = RetinaChart(theme)
        self.eye = choices("Eye", [_NOT_SAID, *Eye])
        self.view = choices("View of the retina chart", list(View))
        kept = settings.value(_SETTING)
        self.view.setCurrentText(kept if kept in list(View) else View.UPRIGHT)
        self.words = label("", "second")
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        form = QFormLayout()
        form.setHorizontalSpacing(3 * UNIT)
        form.setVerticalSpacing(2 * UNIT)
        form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow(label("eye", "second"), self.eye)
        form.addRow(label("view", "second"), self.view)
        column = QVBoxLayout(self)
        column.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 4 * UNIT)
        column.setSpacing(2 * UNIT)
        column.addWidget(label("Place on the retina", "group"))
        column.addWidget(self.chart)
        column.addWidget(self.words)
        column.addLayout(form)
        self.chart.place_edited.connect(self._set_place)
        self.eye.activated.connect(self._set_eye)
        self.view.activated.connect(self._set_view)
        controller.changed.connect(self._refresh)
        controller.chosen_changed.connect(self._refresh)
        self._refresh()

    def _refresh(self) -> None:
        # The place of one tag is not that of the others chosen with it.
        tag = self._controller.chosen if len(self._controller.all_chosen) == 1 else None
        self.setVisible(tag is not None)
        if tag is None:
            return
        eye, view = self._controller.case.eye, View(self.view.currentText())
        self.eye.setCurrentText(eye or _NOT_SAID)
        self.chart.show_place(tag.place, eye, view)
        self.words.setText(f"{place_in_words(tag.place)}; {view_in_words(eye, view)}")
        writable = not self._controller.session.read_only
        self.chart.setEnabled(writable)
        self.eye.setEnabled(writable)

    def _set_place(self, place: Place) -> None:
        self._controller.describe_chosen(place=place)

    def _set_eye(self) -> None:
        said = self.eye.currentText()
        eye = None if said == _NOT_SAID else Eye(said)
        if eye != self._controller.case.eye:
            self._controller.do(lambda case: edits.set_eye(case, eye))

    def _set_view(self) -> None:
        self._settings.setValue(_SETTING, self.view.currentText())
        self._refresh()
