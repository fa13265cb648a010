"""The options of a retina chart: which eye it shows, and which way round."""

from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import choices, dense, label
from annotator.model.case import Eye
from annotator.model.retina import View

_EYES: Mapping[str, Eye | None] = {"not said": None, **{str(eye): eye for eye in Eye}}
_VIEWS: Mapping[str, View | None] = {
    "not said": None,
    "upright": View.UPRIGHT,
    "surgeon": View.TURNED,
    "mirrored": View.MIRRORED,
    "both": View.TURNED_AND_MIRRORED,
}
_LABEL = 8 * UNIT


class ChartOptions(QWidget):
    """Two fields with their names, under or beside one another.

    eye_selected   an Eye, or None
    view_selected  a View, or None
    """

    eye_selected = Signal(object)
    view_selected = Signal(object)

    def __init__(self, direction: QBoxLayout.Direction, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.eye = dense(choices("Eye", list(_EYES)))
        self.view = dense(choices("How the picture stands", list(_VIEWS)))
        self.view.setMinimumContentsLength(max(map(len, _VIEWS)))
        self.view.setToolTip(
            "How the picture of this recording stands, and the chart with it: upright, as the surgeon sits at the head "
            "of the table, mirrored, or both"
        )
        column = QBoxLayout(direction, self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT if direction is QBoxLayout.Direction.TopToBottom else 4 * UNIT)
        for name, box in (("Eye", self.eye), ("Picture", self.view)):
            words = label(name, "second")
            words.setMinimumWidth(_LABEL)
            words.setBuddy(box)
            row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
            row.setSpacing(2 * UNIT)
            row.addWidget(words)
            row.addWidget(box, 1)
            column.addLayout(row)
        self.eye.activated.connect(self._tell_eye)
        self.view.activated.connect(self._tell_view)

    def show_options(self, eye: Eye | None, view: View | None, *, read_only: bool) -> None:
        """Show what is set: which eye it is belongs to the case, how the picture stands to a recording of it."""
        self.eye.setCurrentIndex(list(_EYES.values()).index(eye))
        self.eye.setEnabled(not read_only)
        self.view.setCurrentIndex(list(_VIEWS.values()).index(view))
        self.view.setEnabled(not read_only)

    def _tell_eye(self) -> None:
        self.eye_selected.emit(_EYES[self.eye.currentText()])

    def _tell_view(self) -> None:
        self.view_selected.emit(_VIEWS[self.view.currentText()])
