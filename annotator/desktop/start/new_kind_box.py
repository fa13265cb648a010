"""Saying which kind of operation the next new case is."""

from annotator.desktop.settings.vocabulary_box import VocabularyBox
from annotator.desktop.widgets.controls import ChoiceBox
from annotator.desktop.widgets.kinds import offer_kinds
from annotator.model.vocabulary import Kind


class NewKindBox(ChoiceBox):
    """The kinds of the vocabulary for new cases. Each case begins with none: the last says nothing of the next."""

    def __init__(self, vocabulary: VocabularyBox) -> None:
        super().__init__("Kind of operation of the next new case")
        self.setToolTip("Which steps, instruments and events are shown first; can be changed at any time")
        self._vocabulary = vocabulary
        vocabulary.chosen.connect(self.refresh)
        self.refresh()

    @property
    def kind(self) -> str:
        """The name of what is selected; empty for none."""
        return str(self.currentData() or "")

    @property
    def offered(self) -> tuple[Kind, ...]:
        """The kinds that can be selected, also where the start screen was never seen."""
        if not self._vocabulary.has_looked:
            self._vocabulary.refresh()
            self.refresh()
        return tuple(self._vocabulary.kinds)

    def select(self, kind: str) -> None:
        """Select a kind by its name; none that is empty or not offered."""
        self.setCurrentIndex(max(self.findData(kind), 0))

    def forget(self, _opened: object = None) -> None:
        """Select none, once a case is open."""
        self.setCurrentIndex(0)

    def refresh(self) -> None:
        """Offer the kinds of the vocabulary that is selected now; one that it has, too, stays selected."""
        selected = self.kind
        offer_kinds(self, self._vocabulary.kinds)
        self.select(selected)
        self.setEnabled(bool(self._vocabulary.kinds))
