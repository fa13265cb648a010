"""What can be done about a state of the open case: find its recordings again, or make it editable."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.opening import RECORDING_FILES, Opened, look_again, open_case
from annotator.desktop.preferences.cache_room import kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.tasks.task import Job, Task
from annotator.desktop.workspace.case_notices import CaseNotices
from annotator.model.case import Case
from annotator.model.own_terms import extends
from annotator.model.recording import Recording
from annotator.model.vocabulary import Vocabulary
from annotator.progress import Progress
from annotator.store.recordings import MOST_ENTRIES, Located, locate
from annotator.store.session import Change
from annotator.workflow.carry_case import carrying
from annotator.workflow.take_recordings import (
    Chosen,
    doubtful,
    found_again,
    lacking,
    meant,
    read_chosen,
    stand_in,
)


class _Search(NamedTuple):
    """Where the recordings of a case are, and how many files and folders were looked at for them."""

    located: list[Located]
    looked_at: int


class Relink(QObject):
    """One thing at a time, in work beside the window.

    began   a Task and what it is called
    opened  the case with its recordings looked at anew, or open for changing at last; carries an Opened
    said    a line for the user, and whether it is a warning
    """

    began = Signal(object, str)
    opened = Signal(object)
    said = Signal(str, bool)

    def __init__(
        self, opened: Opened, controller: Controller, states: CaseNotices, preferences: Preferences, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._found = opened
        self._controller = controller
        self._case_notices = states
        self._preferences = preferences
        self._window = parent
        self._task: Task | None = None
        self._result: object = None
        self._take: Callable[[Any], object]
        self._note = ""
        controller.changed.connect(self._follow)

    @property
    def lacks_picture(self) -> bool:
        """Whether a recording is missing, or another file is in its place, and the case can be changed."""
        return not self._controller.session.read_only and bool(self._lacking())

    @property
    def has_doubtful_recording(self) -> bool:
        """Whether there is a file of which it is not known that it is what was tagged, and the case can be changed."""
        return not self._controller.session.read_only and bool(self._doubtful())

    def close_down(self) -> None:
        """Stop; nothing is told any more once this returns."""
        self._controller.changed.disconnect(self._follow)
        self._stop()

    # --- what the user asks for ------------------------------------------------------------------------------

    def find_recording(self) -> None:
        self._controller.player.pause()
        chosen = QFileDialog.getExistingDirectory(self._window, "Where might the recording be?")
        if chosen:
            self.look_in(Path(chosen))

    def choose_recording(self) -> None:
        self._controller.player.pause()
        chosen, _ = QFileDialog.getOpenFileName(self._window, "Which file is the recording?", "", RECORDING_FILES)
        if chosen:
            self.use(Path(chosen))

    def use_doubtful(self) -> None:
        """Take the file that lies where the recording was, whatever has become of it, or whatever it is."""
        number = self._most_wanted(self._doubtful())
        path = self._found.located[number].path
        if path is not None:
            self.use(path, number)

    def look_in(self, folder: Path) -> None:
        """Look for the missing recordings in a folder, by their content."""
        case, case_path = self._controller.case, self._controller.session.path
        looked_at = 0

        def job(progress: Progress) -> _Search:
            def count(done: float, total: float, /) -> None:
                nonlocal looked_at
                looked_at = int(done)
                progress(done, total)

            return _Search(locate(case, case_path, [folder], count), looked_at)

        self._start(job, "Looking for the recording", partial(self._take_search, folder))

    def use(self, path: Path, recording: int | None = None) -> None:
        """Take a file for a recording that is missing or changed, if it can be one: for that of which it has
        the content, else for the one of that number, else for the one that is looked at.
        """
        take = partial(self._take_chosen, recording)
        kept_in = kept_folder(self._preferences)
        self._start(lambda progress: read_chosen(path, kept_in, progress), f"Reading {path.name}", take)

    def try_to_change(self) -> None:
        """Open the case for changing, if whoever had it has closed it."""
        job = open_case(self._controller.session.path, kept_folder(self._preferences))
        self._start(job, "Opening the case", self._take_case)

    def carry_to(self, vocabulary: Vocabulary) -> None:
        """Give the case another vocabulary, in one change; what had to be decided on the way is told."""
        edit, notes = carrying(self._controller.case, vocabulary)
        self._note = "\n".join(notes)
        self._controller.do(edit)
        self._note = ""

    # --- what comes of it ----------------------------------------------------------------------------------------

    def _take_search(self, folder: Path, found: _Search) -> None:
        if any(one.state == "moved" for one in found.located):
            self._controller.do(found_again(found.located, self._controller.session.path))
            return
        names = ", ".join(self._controller.case.recordings[number].path for number in self._lacking())
        most = "the first " if found.looked_at == MOST_ENTRIES else ""
        says = (
            f"{names} is neither in “{folder.name}” nor beside the case, among {most}{found.looked_at:,} files and "
            "folders. Only the same content counts, not the name; select a converted copy yourself."
        )
        self._case_notices.say_missing(says)
        self.said.emit(f"Not found in “{folder.name}”", True)

    def _take_chosen(self, recording: int | None, chosen: Chosen) -> None:
        case = self._controller.case
        asked = self._most_wanted(self._lacking()) if recording is None else recording
        number = meant(chosen, case, self._found.located, asked)
        is_same = case.recordings[number].fingerprint == chosen.fingerprint
        if not is_same and number not in self._found.in_state("unknown"):
            self._note = (
                f"{chosen.path.name} stands in for {case.recordings[number].path}: another file of the same length. "
                "The tags are unchanged; compare a few with the picture. Undo removes the file again."
            )
        self._controller.do(stand_in(chosen, number, self._controller.session.path))
        self._note = ""

    def _take_case(self, found: Opened) -> None:
        if not found.session.read_only:
            self._result = None
            self.opened.emit(found)
            return
        self._stop()
        holder = found.session.holder
        self.said.emit(f"Still open elsewhere, {holder}" if holder else found.why_read_only, True)

    def _follow(self, change: Change) -> None:
        """Another file may be where a recording is said to be now, or the case have other terms: by undo, too.

        Terms that were only added, or taken back, leave all others as they are.
        """
        before, after = change.before, change.after
        if _files(before) != _files(after) or not _same_terms(before.vocabulary, after.vocabulary):
            job = look_again(self._controller.session, self._note, kept_folder(self._preferences))
            self._start(job, "Reading the recording", self.opened.emit)

    # --- parts ---------------------------------------------------------------------------------------------------

    def _start(self, job: Job, what: str, take: Callable[[Any], object]) -> None:
        """Begin work; what was under way gives way to it."""
        self._stop()

        def kept(progress: Progress) -> object:
            self._result = job(progress)
            return self._result

        self._task, self._take = Task(kept, self), take
        self._task.done.connect(self._end)
        self.began.emit(self._task, what)
        self._task.start()

    def _end(self, result: object) -> None:
        if self.sender() is self._task:
            self._take(result)

    def _stop(self) -> None:
        """Nothing comes of the work under way, nor of what it has brought; a case it has opened is closed."""
        if self._task is not None:
            self._task.cancel()
            self._task.wait()
            self._task.deleteLater()
        if isinstance(self._result, Opened) and self._result.session is not self._controller.session:
            self._result.session.close()
        self._task = self._result = None

    def _lacking(self) -> list[int]:
        return lacking(self._found.located)

    def _doubtful(self) -> list[int]:
        return doubtful(self._found.located)

    def _most_wanted(self, recordings: list[int]) -> int:
        """The one of them that is looked at, or the first."""
        shown = self._controller.case.spot(self._controller.at).recording
        return shown if shown in recordings else recordings[0]


def _files(case: Case) -> list[Recording]:
    """The recordings without what is only said of them, and changes nothing of what is shown."""
    return [replace(one, altered=(), picture=None) for one in case.recordings]


def _same_terms(one: Vocabulary, other: Vocabulary) -> bool:
    return one is other or extends(one, other) or extends(other, one)
