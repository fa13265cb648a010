"""The rows of the step list as they are now: which are shown, in which order, with their times and what runs."""

from collections.abc import Collection, Iterable, Mapping

from PySide6.QtWidgets import QWidget

from annotator.desktop.commands.actions import Keys
from annotator.desktop.commands.search import Thing, best_first
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.times import TimeSoFar, covering
from annotator.desktop.steps.sheet_rows import SheetRow, offers_to_add, only, rows_of
from annotator.desktop.steps.shown_first import shown_first
from annotator.desktop.widgets.controls import plain_tip
from annotator.desktop.widgets.row_model import RowModel
from annotator.model.own_terms import can_name
from annotator.model.timecode import Ms, span
from annotator.model.vocabulary import MOST_NEIGHBOURS


class SheetModel(RowModel[SheetRow]):
    """Rows of the sheet; the time of each and what runs come from the case when asked for.

    marked  the number of the row that Enter takes; None while nothing is looked for
    fits    whether any concept fits the words that are looked for
    """

    def __init__(self, controller: Controller, keys: Keys, used: Mapping[str, int], parent: QWidget) -> None:
        """`used` counts the cases that have used a concept, by its IRI; it is of before, so that the order stays."""
        super().__init__(parent)
        self._controller = controller
        self._keys, self._used = keys, used
        self._kind = controller.case.kind
        self._all = rows_of(controller.case.vocabulary, keys, used)
        self.shown = self._first()
        self._words = ""
        self.marked: int | None = None
        self.fits = True
        self._so_far = TimeSoFar(controller.case)
        self._times = self._so_far.at(controller.at)
        self._running = covering(controller.case, controller.at)

    def time_of(self, row: SheetRow) -> str:
        """The time so far as text, or a dash; an offer has none."""
        if row.adds:
            return ""
        spent = self._times.get(row.concept)
        return "–" if spent is None else span(spent) if spent or not row.moments else "•"

    def is_covering(self, row: SheetRow) -> bool:
        return row.concept in self._running

    def is_running(self, row: SheetRow) -> bool:
        return self._running.get(row.concept, False)

    def spoken(self, row: SheetRow) -> str:
        runs = ", running" if self.is_running(row) else ""
        if row.adds:
            return row.text
        key = f", key {row.key}" if row.key else ""
        return f"{row.text}{key}, {self.time_of(row)}{runs}"

    def tip(self, row: SheetRow) -> str:
        return plain_tip(row.text, *row.tip.splitlines())

    def use_keys(self, keys: Keys) -> None:
        self._keys = keys
        self._all = rows_of(self._controller.case.vocabulary, keys, self._used)
        self.filter(self._words)

    def _first(self) -> list[SheetRow]:
        """What is shown while nothing is looked for."""
        return only(self._all, shown_first(self._controller.case, self._keys, self._used))

    def _left_out(self) -> Iterable[SheetRow]:
        shown = {row.concept for row in self.shown}
        return (row for row in self._all if row.concept not in shown)

    def filter(self, words: str) -> None:
        """Show the rows whose names fit the words, those that fit best first; without any, what is shown first."""
        self._words = words
        self.marked = None
        self.fits = True
        self.show(self._found(words.strip()) if words.strip() else self._first())

    def _found(self, words: str) -> list[SheetRow]:
        """What fits the words, of two that fit alike what has a key first.

        Where nothing fits, what is similar, and offers to add what is missing.
        """
        vocabulary = self._controller.case.vocabulary
        concepts = sorted((row for row in self._all if not row.is_heading), key=lambda row: not row.key)
        found = best_first(words, [Thing(row.text, row.also, row.concept) for row in concepts], vocabulary)
        rows = [concepts[number] for number in found.numbers]
        self.fits = found.fits
        if found.fits or not self.can_tag or not can_name(words):
            return rows
        here = (concept for iri in self._running if (concept := vocabulary.concept(iri)))
        return [*rows[:MOST_NEIGHBOURS], *offers_to_add(vocabulary, words, here)]

    @property
    def running(self) -> Collection[str]:
        """The concepts, by their IRIs, that the shown frame is tagged with."""
        return self._running.keys()

    def mark(self, number: int | None) -> None:
        """Mark another row as the one that Enter takes."""
        before, self.marked = self.marked, number
        for changed in (before, number):
            if changed is not None and changed < len(self.shown):
                self.dataChanged.emit(self.index(changed), self.index(changed))

    @property
    def can_tag(self) -> bool:
        """Whether the case can be changed."""
        return not self._controller.session.read_only

    def refresh(self, at: Ms) -> None:
        """Ask the case again; only rows that have changed are repainted."""
        case, before = self._controller.case, (self._times, self._running)
        if self._so_far.case is not case:
            self._so_far = TimeSoFar(case)
        if case.kind != self._kind:
            self._kind = case.kind
            self.filter(self._words)
        now = self._times, self._running = self._so_far.at(at), covering(case, at)
        if not self._words.strip() and any(row.concept in self._running for row in self._left_out()):
            self.filter("")  # what is tagged now has its row, wherever it was found
            return
        for number, row in enumerate(self.shown):
            if any(one.get(row.concept) != other.get(row.concept) for one, other in zip(now, before, strict=True)):
                self.dataChanged.emit(self.index(number), self.index(number))

    def covering_step(self) -> str:
        """The step that covers the shown frame; empty between two: an instrument or a view lasts over many of them."""
        vocabulary = self._controller.case.vocabulary
        rows = (row.concept for row in self.shown if row.concept in self._running)
        concepts = (
            concept for iri in rows if (concept := vocabulary.concept(iri)) is not None
        )  # rows may be of before
        return next((one.iri for one in concepts if vocabulary.facet(one.facet).exclusive), "")

    def row_of(self, concept: str) -> int | None:
        return next((at for at, row in enumerate(self.shown) if row.concept == concept), None)
