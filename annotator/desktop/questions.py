"""What the window asks before it can do something: for files, or for a name in the command finder."""

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.bench import Bench
from annotator.desktop.command_set import CommandSet, without_argument
from annotator.desktop.finder import Finder
from annotator.desktop.key_work import KeyWork
from annotator.desktop.opening import RECORDING_FILES
from annotator.desktop.vocabulary_box import offered

_CASES = "Cases (*.jsonld)"

Answer = tuple[str, Callable[[], None]]
"""What can be answered, and what is done then."""


class Questions(QObject):
    """named  paths of what is to be opened, none where the user has thought better of it"""

    named = Signal(object)

    def __init__(
        self, window: QWidget, finder: Finder, commands: CommandSet, bench: Callable[[], Bench | None]
    ) -> None:
        super().__init__(window)
        self._window = window
        self._finder = finder
        self._commands = commands
        self._bench = bench

    def recordings(self) -> None:
        self._pause()
        chosen, _ = QFileDialog.getOpenFileNames(self._window, "Open recordings of one operation", "", RECORDING_FILES)
        self.named.emit([Path(name) for name in chosen])

    def case(self) -> None:
        self._pause()
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Open a case", "", _CASES)
        self.named.emit([Path(chosen)] if chosen else [])

    def command(self) -> None:
        self._finder.ask(self._commands.all())

    def other_step(self) -> None:
        """Which concept of its facet the chosen tag should have."""
        bench = self._bench()
        chosen = bench.controller.chosen if bench else None
        facet = bench.controller.case.facet_of(chosen) if bench and chosen else None
        if bench is not None and facet is not None:
            retag = KeyWork(bench.controller).retag_chosen
            concepts = bench.controller.case.vocabulary.in_facet(facet.name)
            self._ask(bench, "Which step should it be?", ((one.label(), partial(retag, one.iri)) for one in concepts))

    def other_vocabulary(self) -> None:
        """To which vocabulary the open case should be carried."""
        bench = self._bench()
        if bench is not None:
            self._pause()
            carry, faults = bench.mending.carry_to, list[str]()
            answers = [(one.title, partial(carry, one.vocabulary)) for one in offered(faults)]
            self._ask(bench, "Carry the case to which vocabulary? Every tag is kept.", answers)

    def _ask(self, owner: QObject, asks: str, answers: Iterable[Answer]) -> None:
        choices: list[QAction] = []
        for text, does in answers:
            choice = QAction(text, owner)
            choice.triggered.connect(without_argument(does))
            choices.append(choice)
        self._finder.ask(choices, asks)

    def _pause(self) -> None:
        bench = self._bench()
        if bench is not None:
            bench.controller.player.pause()
