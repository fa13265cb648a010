"""What is asked of a library, as a row of fields: what, near what else, who, where, words, in which cases."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QStringListModel, Signal
from PySide6.QtWidgets import QCompleter, QHBoxLayout, QWidget

from annotator.desktop.library.looking import Seen
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import ChoiceBox
from annotator.desktop.widgets.filter_field import FilterField
from annotator.library.search import Question
from annotator.measure.over_cases.relations import Relation

_RELATIONS: Mapping[str, Relation] = {
    "within": Relation.WITHIN,
    "during": Relation.DURING,
    "after": Relation.AFTER,
}


class QuestionRow(QWidget):
    """asked  another question stands in the fields"""

    asked = Signal()

    def __init__(self, theme: Theme, what: QCompleter, other: QCompleter, parent: QWidget | None = None) -> None:
        """The completers offer concepts as they are typed."""
        super().__init__(parent)
        self._completers = (what, other)
        self._last = Question()
        self.what = FilterField("Step, instrument, event", theme)
        self.what.setCompleter(what)
        self.relation = ChoiceBox("How it lies to another")
        self.relation.addItems(list(_RELATIONS))
        self.other = FilterField("Another", theme)
        self.other.setCompleter(other)
        self.place = FilterField("Place", theme)
        self.words = FilterField("Words in notes", theme)
        self.performer = ChoiceBox("Performer")
        self.cases = ChoiceBox("Which cases")
        self._fill(self.performer, [("Any performer", "")])
        self._fill(self.cases, [("All cases", None)])
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * UNIT)
        for part, share in (
            (self.what, 4),
            (self.relation, 0),
            (self.other, 3),
            (self.place, 2),
            (self.words, 3),
            (self.performer, 0),
            (self.cases, 0),
        ):
            row.addWidget(part, share)
        for field, completer in ((self.what, what), (self.other, other), (self.place, None), (self.words, None)):
            field.editingFinished.connect(self._ask)
            field.textChanged.connect(self._ask_if_cleared)
            if completer is not None:
                completer.activated.connect(self._ask)
        for box in (self.relation, self.performer, self.cases):
            box.currentIndexChanged.connect(self._ask)

    @property
    def question(self) -> Question:
        """What stands in the fields."""
        other, fact = self.other.text().strip(), self.cases.currentData()
        return Question(
            self.what.text().strip(),
            [(_RELATIONS[self.relation.currentText()], other)] if other else [],
            self.performer.currentData() or "",
            self.place.text().strip(),
            self.words.text().strip(),
            [fact] if fact else [],
        )

    def offer(self, seen: Seen) -> None:
        """Offer what the library has; what stands in the fields stays."""
        for completer in self._completers:
            model = completer.model()
            if isinstance(model, QStringListModel) and tuple(model.stringList()) != seen.concepts:
                model.setStringList(list(seen.concepts))
        self._fill(self.performer, [("Any performer", ""), *((name, code) for code, name in seen.performers.items())])
        facts = [(f"{name}: {value}", (name, value)) for name, values in seen.facts.items() for value in values]
        self._fill(self.cases, [("All cases", None), *facts])

    def _fill(self, box: ChoiceBox, items: Sequence[tuple[str, object]]) -> None:
        held = box.currentText()
        box.blockSignals(True)
        box.clear()
        for words, data in items:
            box.addItem(words, data)
        box.setCurrentIndex(max(box.findText(held), 0))
        box.blockSignals(False)

    def _ask(self) -> None:
        """Leaving a field asks nothing new."""
        if self.question != self._last:
            self._last = self.question
            self.asked.emit()

    def _ask_if_cleared(self, text: str) -> None:
        if not text:
            self._ask()
