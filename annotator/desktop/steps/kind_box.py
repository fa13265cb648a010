"""Saying which kind of operation a case is, above the step list."""

from functools import partial

from PySide6.QtWidgets import QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.widgets.controls import ChoiceBox, dense
from annotator.desktop.widgets.kinds import offer_kinds
from annotator.model.edits import set_kind
from annotator.model.vocabulary import Kind


class KindBox(ChoiceBox):
    """One of the kinds of the case's vocabulary, or none; hidden where it has none."""

    def __init__(self, controller: Controller, parent: QWidget) -> None:
        super().__init__("Kind of operation")
        self.setParent(parent)  # or it would be a window of its own once it is shown
        dense(self)
        self.setToolTip("Kind of operation: which steps, instruments and events are shown here first")
        self._controller = controller
        self._kinds: tuple[Kind, ...] = ()
        self.activated.connect(self._put)
        controller.changed.connect(self._refresh)
        self._refresh()

    def _refresh(self) -> None:
        case = self._controller.case
        if case.vocabulary.kinds is not self._kinds or not self.count():
            self._kinds = case.vocabulary.kinds
            offer_kinds(self, self._kinds)
        self.setCurrentIndex(max(self.findData(case.kind), 0))
        self.setEnabled(not self._controller.session.read_only)
        self.setVisible(bool(self._kinds))

    def _put(self) -> None:
        kind = str(self.currentData())
        if kind != self._controller.case.kind:
            self._controller.do(partial(set_kind, kind=kind))
