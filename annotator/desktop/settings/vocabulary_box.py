"""Selecting the vocabulary for new cases."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QMouseEvent

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.widgets.controls import ChoiceBox
from annotator.desktop.widgets.shortcut_menu import Choice, pop_up
from annotator.desktop.widgets.system import open_path
from annotator.errors import AnnotatorError
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Kind, Vocabulary, label_in
from annotator.store.vocabularies import catalogue, own_folder, read


class Offer(NamedTuple):
    """A vocabulary, the name that it answers to, and what it is called on screen."""

    name: str
    title: str
    vocabulary: Vocabulary


class VocabularyBox(ChoiceBox):
    """Puts what is chosen into the preferences.

    chosen  it is another one now
    """

    chosen = Signal()

    def __init__(self, preferences: Preferences) -> None:
        super().__init__("Vocabulary for new cases")
        self._preferences = preferences
        self._about: dict[str, str] = {}
        self._kinds: dict[str, tuple[Kind, ...]] = {}
        self.faults: tuple[str, ...] = ()
        """Why a vocabulary can't be offered, or the one that is wanted is not there; a sentence each."""
        self.setToolTip(f"Vocabulary for new cases; your own are looked for in {own_folder()}")
        self.addItem(preferences.vocabulary, preferences.vocabulary)
        self.activated.connect(self._choose)

    @property
    def about(self) -> str:
        """What the chosen one has, in a line; empty where that can't be known."""
        return self._about.get(self._preferences.vocabulary, "")

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds of operation of the chosen one."""
        return self._kinds.get(self._preferences.vocabulary, ())

    @property
    def has_looked(self) -> bool:
        """Whether it knows which vocabularies there are."""
        return bool(self._kinds)

    def refresh(self) -> None:
        """Look again which there are, and show the one that is wanted."""
        faults: list[str] = []
        self.clear()
        self._about, self._kinds = {}, {}
        for one in offered(faults):
            self.addItem(one.title, one.name)
            self._about[one.name] = _counted(one.vocabulary)
            self._kinds[one.name] = one.vocabulary.kinds
        wanted = self._preferences.vocabulary
        if self.findData(wanted) < 0:
            faults.append(f"“{wanted}” is not there any more; select another one.")
            self.addItem(wanted, wanted)
        self.setCurrentIndex(self.findData(wanted))
        self.faults = tuple(faults)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Qt opens the list for any button; the right one is for the menu."""
        if event.button() is not Qt.MouseButton.RightButton:
            super().mousePressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        own = own_folder()
        shows = Choice("Show the folder of your own vocabularies", lambda: open_path(own), own.is_dir())
        pop_up(self, event.globalPos(), [Choice("Look for vocabularies again", self.refresh), shows])

    def _choose(self) -> None:
        self._preferences.vocabulary = str(self.currentData())
        self.faults = ()
        self.chosen.emit()


def offered(faults: list[str]) -> Iterator[Offer]:
    """The vocabularies that answer to a name; `faults` gets a sentence for each that can't be read."""
    try:
        entries = catalogue()
    except AnnotatorError as error:
        faults.append(str(error))
        return
    for entry in entries:
        try:
            vocabulary = read(entry.path)
        except AnnotatorError as error:
            faults.append(str(error))
            continue
        title = label_in(vocabulary.title, DEFAULT_LANGUAGE) or entry.name
        yield Offer(entry.name, f"{title} (yours: {entry.name})" if entry.own else title, vocabulary)


def _counted(vocabulary: Vocabulary) -> str:
    """How many terms each facet has."""
    return " · ".join(
        f"{label_in(facet.label, DEFAULT_LANGUAGE)} {len(vocabulary.in_facet(facet.name))}"
        for facet in vocabulary.facets
    )
