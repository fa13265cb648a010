"""The facts of the case: a field for each that may be said, and what is to be thought of before they leave."""

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QScrollArea, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.retina.eye_change import change_eye
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import FIELD_LABEL, UNIT
from annotator.desktop.widgets.controls import ChoiceBox, dense, label, plain_tip
from annotator.desktop.widgets.form_line import FormLine
from annotator.desktop.widgets.labels import WrappedLabel
from annotator.desktop.widgets.question import ask
from annotator.desktop.widgets.side_page import SidePage
from annotator.errors import AnnotatorError, InvalidEdit
from annotator.model.case import Case, Eye
from annotator.model.edits import Edited, clear_fact, set_fact
from annotator.model.facts import EYE, Fact, FactKind, KnownFact, KnownFacts, lacking
from annotator.model.identity import looks_like_identity
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.store.facts import find_facts
from annotator.workflow.before_export import cautions_of

_NOT_SAID = "not said"
_HINT = "What the operation was, never who. Facts stand in the case file only."


class FactsPanel(SidePage):
    """Each field that is left or selected is one change, which can be undone."""

    def __init__(self, controller: Controller, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__("Facts", theme, parent)
        self._controller = controller
        self._known, self._unread = _known_facts()
        self.boxes: Mapping[str, ChoiceBox] = {
            fact.code: self._box(fact) for fact in self._known.listed if fact.kind is FactKind.CHOICE
        }
        self.lines: Mapping[str, FormLine] = {
            fact.code: self._line(fact) for fact in self._known.listed if fact.kind is not FactKind.CHOICE
        }
        self.fault = WrappedLabel("warning")
        self.cautions = WrappedLabel("warning")
        self.others = WrappedLabel()
        self._lay_out()
        self.fault.say(self._unread)
        controller.changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        form = QWidget()
        grid = QGridLayout(form)
        grid.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 2 * UNIT)
        grid.setHorizontalSpacing(2 * UNIT)
        grid.setVerticalSpacing(UNIT)
        grid.setColumnMinimumWidth(0, FIELD_LABEL)
        grid.setColumnStretch(1, 1)
        for row, fact in enumerate(self._known.listed):
            field = self.boxes.get(fact.code) or self.lines[fact.code]
            name = label(fact.called(), "second")
            name.setToolTip(plain_tip(label_in(fact.definition, DEFAULT_LANGUAGE)))
            name.setBuddy(field)
            grid.addWidget(name, row, 0)
            grid.addWidget(field, row, 1)
        hint = WrappedLabel()
        grid.addWidget(hint, len(self._known.listed), 0, 1, 2)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(form)
        below = QVBoxLayout()
        below.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 3 * UNIT)
        below.setSpacing(UNIT)
        for words in (self.fault, self.others, self.cautions):
            below.addWidget(words)
        self.column.addWidget(scroll, 1)
        self.column.addLayout(below)
        hint.say(_HINT)  # once it has a parent, or it would be a window of its own

    def _box(self, fact: KnownFact) -> ChoiceBox:
        box = ChoiceBox(fact.called())
        dense(box)
        box.addItem(_NOT_SAID, "")
        for value in fact.values:
            box.addItem(value.called(), value.code)
            anchor = label_in(value.anchor, DEFAULT_LANGUAGE)
            box.setItemData(box.count() - 1, plain_tip(anchor), Qt.ItemDataRole.ToolTipRole)
        box.activated.connect(partial(self._select, fact.code))
        return box

    def _line(self, fact: KnownFact) -> FormLine:
        line = FormLine(fact.called(), self._put)
        line.setProperty("dense", True)
        line.setPlaceholderText(fact.asks())
        return line

    # --- what is seen ---------------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what the case says now."""
        case, writable = self._controller.case, not self._controller.session.read_only
        for code, box in self.boxes.items():
            _show_value(box, case.fact(code))
            box.setEnabled(writable)
        for code, line in self.lines.items():
            line.show_of(code, case.fact(code))
            line.setReadOnly(not writable)
        unknown = [fact for fact in case.facts if fact.name not in self._known.by_code]
        self.others.say("\n".join(f"{fact.name}: {fact.value}" for fact in unknown))
        lacks = (
            f"{self._known.called(name)} says little without {self._known.called(need)}"
            for name, need in lacking(self._known, case.all_facts)
        )
        self.cautions.say("\n".join((*lacks, *cautions_of(case, self._known))))

    def focus_first(self) -> None:
        """Let the first fact be said."""
        code = self._known.listed[0].code
        (self.lines.get(code) or self.boxes[code]).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # --- what is said ---------------------------------------------------------------------------------------------

    def _select(self, code: str, index: int) -> None:
        value = str(self.boxes[code].itemData(index))
        if code == EYE:
            change_eye(self._controller, Eye(value) if value else None, self.window(), self.refresh)
        elif value != self._controller.case.fact(code):
            self._say(code, value)

    def _put(self, code: str, text: str, *, names_nobody: bool = False) -> bool:
        """Take what was typed; returns whether it could be, or is asked about."""
        fact, typed = self._known.by_code[code], text.strip()
        try:
            value = fact.meant(typed, names_nobody=names_nobody) if typed else ""
        except InvalidEdit as error:
            why = looks_like_identity(typed) if fact.kind is FactKind.TEXT else ""
            if why:
                self._ask(code, typed, why)
            else:
                self.fault.say(str(error))
            return bool(why)
        self.fault.say(self._unread)
        return value == self._controller.case.fact(code) or self._say(code, value)

    def _ask(self, code: str, typed: str, why: str) -> None:
        ask(
            self.window(),
            f"“{typed}” {why}. Keep it?",
            "A case must not tell who somebody is.",
            [("Keep, it names nobody", partial(self._put, code, typed, names_nobody=True))],
            "Leave out",
            stay=True,
        ).finished.connect(lambda _answer: self.refresh())

    def _say(self, code: str, value: str) -> bool:
        def edit(case: Case) -> Edited:
            known = self._known
            return set_fact(case, known, Fact(code, value)) if value else clear_fact(case, known, code)

        return self._controller.do(edit)


def _known_facts() -> tuple[KnownFacts, str]:
    """The facts that may be said, and why those of the department are not among them, if they can't be read."""
    try:
        return find_facts(), ""
    except AnnotatorError as error:
        return find_facts(own=False), str(error)


def _show_value(box: ChoiceBox, value: str) -> None:
    """Select a value; one that no list knows is shown as it stands, as long as it is what the case says."""
    known = box.findData(value)
    stray = box.findData(True, Qt.ItemDataRole.UserRole + 1)
    if stray >= 0 and box.itemData(stray) != value:
        box.removeItem(stray)
        known = box.findData(value)
    if known < 0:
        box.addItem(value, value)
        known = box.count() - 1
        box.setItemData(known, True, Qt.ItemDataRole.UserRole + 1)
    box.setCurrentIndex(known)
    box.setToolTip(box.currentText())
