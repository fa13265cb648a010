"""Tags from a table or a caption file for the open case: read in the background, confirmed, added in one change."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.tasks.task import Task
from annotator.desktop.theme.icons import Icon
from annotator.desktop.widgets.controls import without_argument
from annotator.desktop.widgets.notice import Notices
from annotator.desktop.widgets.question import ask
from annotator.errors import InvalidFile, told
from annotator.model import edits
from annotator.model.case import Case
from annotator.progress import Progress
from annotator.workflow.add_tags import CAPTIONS, TABLES, Added, Offered, read_tags, without_known
from annotator.workflow.frames import CaseFrames

_FILES = f"Tables and captions ({' '.join(f'*{ending}' for ending in sorted(TABLES | CAPTIONS))})"
_MOST_SAID = 6
"""Lines of what a file holds beside its tags; more would not be read."""


class AddingTags(QObject):
    """began  a Task and what it is called"""

    began = Signal(object, str)

    def __init__(self, controller: Controller, notices: Notices, window: QWidget) -> None:
        super().__init__(window)
        self._controller = controller
        self._notices = notices
        self._window = window
        self._tasks: list[Task] = []

    def add_tags(self) -> None:
        """Ask for the file."""
        self._controller.player.pause()
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Add tags from a table or captions", "", _FILES)
        if chosen:
            self.add_from([Path(chosen)])

    def add_from(self, sources: Sequence[Path]) -> None:
        """Read files, and ask about each whether its tags should be added."""
        self._controller.player.pause()
        for source in sources:
            task = Task(partial(_read, source, self._controller.case, self._controller.frames), self)
            self._tasks.append(task)
            task.done.connect(partial(self._ask, source))
            task.failed.connect(self._say_fault)
            self.began.emit(task, f"Reading {source.name}")
            task.start()

    def offer(self, offered: Sequence[Offered]) -> None:
        """Say which files beside the recordings hold tags, with a button that adds them."""
        for source, would_add in offered:
            adds = QAction("Add its tags", self)
            adds.triggered.connect(without_argument(partial(self._add, source, would_add)))
            says = f"“{source.name}” is beside the recording and contains {_tags(would_add)} that can be added."
            self._notices.add(Icon.NOTE, says, [adds], about=str(source), can_wait=True)

    def close_down(self) -> None:
        """Nothing is added any more."""
        for task in self._tasks:
            task.cancel()
            task.wait()
            task.blockSignals(True)

    def _ask(self, source: Path, found: Added) -> None:
        if not found.tags:
            no_tag = (
                "contains no tag that is new to this case" if not found.faults else "contains no tag that can be added"
            )
            notes = map(_sentence, found.notes[:1])
            why = " ".join(filter(None, (f"“{source.name}” {no_tag}.", *notes, _left_out(found))))
            self._notices.add(Icon.WARNING if found.faults else Icon.NOTE, why)
            return
        asks = f"Add {_tags(found)} from “{source.name}” to this case?"
        answer = (f"Add {_tags(found)}", partial(self._add, source, found))
        ask(
            self._window.window(),
            asks,
            "\n".join(filter(None, (_left_out(found), *found.notes[:_MOST_SAID]))),
            [answer],
        )

    def _add(self, source: Path, found: Added) -> None:
        self._notices.remove(str(source))
        # The same file may have been added meanwhile.
        fresh, _ = without_known(found.tags, self._controller.case, self._controller.frames)
        if not fresh:
            self._notices.add(Icon.NOTE, f"The tags of “{source.name}” are in this case already.")
        elif self._controller.do(lambda case: edits.add(case, fresh)) and found.faults:
            self._notices.add(Icon.WARNING, f"{_tags(found)} added from “{source.name}”. {_left_out(found)}")

    def _say_fault(self, error: object) -> None:
        says = error.in_short(_MOST_SAID) if isinstance(error, InvalidFile) else str(error)
        self._notices.add(Icon.WARNING, says)


def _read(source: Path, case: Case, frames: CaseFrames, progress: Progress) -> Added:
    return read_tags(source, case, frames, progress)


def _tags(found: Added) -> str:
    return f"{len(found.tags)} tag{'s' * (len(found.tags) != 1)}"


def _left_out(found: Added) -> str:
    """What of the file can't be added, and why; empty for nothing."""
    if not found.faults:
        return ""
    says = f"Left out: {'; '.join(told(found.faults, found.more, _MOST_SAID))}"
    return says if says.endswith("?") else f"{says}."


def _sentence(note: str) -> str:
    return f"{note[:1].upper()}{note[1:]}."
