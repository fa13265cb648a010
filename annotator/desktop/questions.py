"""What the window asks before it can do something: for files, or for a name in the command palette."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.commands.command_set import CommandSet
from annotator.desktop.commands.palette import Offer, Palette
from annotator.desktop.editing.opening import RECORDING_FILES
from annotator.desktop.editing.tag_commands import TagCommands
from annotator.desktop.settings.vocabulary_box import offered
from annotator.desktop.workspace.bench import Bench
from annotator.model.vocabulary import DEFAULT_LANGUAGE, label_in
from annotator.plain_text import quoted
from annotator.publish.report.phase_colours import top_of

_CASES = "Cases (*.jsonld)"


class Questions(QObject):
    """named  paths of what is to be opened, none where the user has thought better of it"""

    named = Signal(object)

    def __init__(
        self, window: QWidget, palette: Palette, commands: CommandSet, bench: Callable[[], Bench | None]
    ) -> None:
        super().__init__(window)
        self._window = window
        self._palette = palette
        self._commands = commands
        self._bench = bench

    def recordings(self) -> None:
        self._pause()
        chosen, _ = QFileDialog.getOpenFileNames(self._window, "Open recordings of one operation", "", RECORDING_FILES)
        self.named.emit([Path(name) for name in chosen])

    def case(self) -> None:
        self._pause()
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Open case", "", _CASES)
        self.named.emit([Path(chosen)] if chosen else [])

    def command(self) -> None:
        self._palette.ask(
            [Offer.of(action) for action in self._commands.all() if action.isEnabled()],
            vocabulary=self._commands.vocabulary,
        )

    def other_step(self) -> None:
        """Which concept of its facet the chosen tag should have. The answer is for that tag alone."""
        bench = self._bench()
        chosen = bench.controller.selected if bench else None
        facet = bench.controller.case.facet_of(chosen) if bench and chosen else None
        if bench is not None and chosen is not None and facet is not None:
            retag = partial(TagCommands(bench.controller).retag, chosen.id)
            concepts = bench.controller.case.vocabulary.in_facet(facet.name)
            offers = [
                Offer(one.label(), partial(retag, one.iri), "\n".join(one.names()), concept=one.iri) for one in concepts
            ]
            self._palette.ask(offers, "Change to which step?", bench.controller.case.vocabulary)

    def new_step(self, name: str, under: str) -> None:
        """Tag with a concept that the case's vocabulary lacks: under the one of that notation, or one that is asked
        for, a phase or else any of another category.
        """
        bench = self._bench()
        if bench is None:
            return
        if under:
            bench.controller.tag_new(name, under)
            return
        self._pause()
        vocabulary, tag = bench.controller.case.vocabulary, partial(bench.controller.tag_new, name)
        phases = dict.fromkeys(top.notation for one in vocabulary.concepts if (top := top_of(vocabulary, one)))
        offers = [Offer(vocabulary.by_notation[phase].label(), partial(tag, phase)) for phase in phases]
        offers += [
            Offer(label_in(facet.label, DEFAULT_LANGUAGE), partial(tag, facet=facet.name))
            for facet in vocabulary.facets
            if not facet.exclusive or not phases
        ]
        self._palette.ask(offers, f"Under what does {quoted(name)} belong?")

    def other_vocabulary(self) -> None:
        """To which vocabulary the open case should be carried."""
        bench = self._bench()
        if bench is not None:
            self._pause()
            carry, faults = bench.relink.carry_to, list[str]()
            offers = [Offer(one.title, partial(carry, one.vocabulary)) for one in offered(faults)]
            self._palette.ask(offers, "Change to which vocabulary? Every tag is kept.")

    def put_away(self) -> None:
        """Nothing is asked any more, as what it was about goes."""
        self._palette.hide()

    def _pause(self) -> None:
        bench = self._bench()
        if bench is not None:
            bench.controller.player.pause()
