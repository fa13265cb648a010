"""Decides what to do with the cases, recordings and folders that the user names, and asks if there are several ways."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from annotator.desktop.editing.opening import (
    AlreadyOpen,
    Existing,
    NewCase,
    Opened,
    Several,
    Started,
    open_case,
    open_recordings,
    open_sample,
    start_case,
    start_each,
)
from annotator.desktop.editing.times import TimeSoFar
from annotator.desktop.preferences.cache_room import kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.recent import shown_last, with_case
from annotator.desktop.start.new_kind_box import NewKindBox
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.start.start_screen import LoadingPage
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.desktop.tasks.task import Job
from annotator.desktop.timeline.lanes import bands_of
from annotator.desktop.timeline.overview import Overview
from annotator.desktop.widgets.question import ask
from annotator.errors import AnnotatorError
from annotator.measure.findings import questions
from annotator.progress import Progress
from annotator.publish.report.phase_colours import case_colours
from annotator.workflow.sample import MEMBRANES, Sample

CASES = (".jsonld", ".json")

_OTHERS = "Only one case can be open at a time. The others are on the start screen."


class Openings(QObject):
    """began   something is being opened, and the page of loading should be seen
    listed  recordings should be put in order, on their page
    ended   nothing is being opened any more; what was seen before should be seen again
    opened  an Opened
    failed  a sentence
    """

    began = Signal()
    listed = Signal()
    ended = Signal()
    opened = Signal(object)
    failed = Signal(str)

    def __init__(
        self,
        window: QWidget,
        preferences: Preferences,
        loading: LoadingPage,
        page: RecordingsPage,
        shown: Callable[[], Path | None],
        kinds: NewKindBox,
    ) -> None:
        """`shown` is the case that is open; in `kinds` the kind of operation of a new one is selected."""
        super().__init__(window)
        self._window = window
        self._preferences = preferences
        self._loading = loading
        self._page = page
        self._shown = shown
        self._kinds = kinds
        self._wanted: tuple[Path, ...] = ()
        self._left_out = ""
        self._task = LatestTask(self, too_late=_close_again)  # in turn, as both may want the same case
        self._task.progressed.connect(loading.show_progress)
        self._task.came.connect(self._take)
        self._task.failed.connect(self._take_fault)
        loading.cancelled.connect(self.give_up)
        page.one_operation.connect(self._start_case)
        page.one_each.connect(self._start_each)
        page.kind_of_new.connect(kinds.select)
        page.left.connect(self.ended)

    @property
    def is_used(self) -> bool:
        """Whether something is being opened."""
        return self._task.is_used

    def open_paths(self, paths: Sequence[Path], left_out: str = "") -> None:
        """Open a case, the first of several, or recordings and folders of them; what is under way already goes on.

        `left_out` says what else the user named, and is said with what comes.
        """
        kept_in = self._kept_in
        if not paths or (self.is_used and tuple(paths) == self._wanted):
            return
        if all(path.suffix.lower() in CASES for path in paths):
            self._list_as_recent(paths[1:])
            note = _OTHERS if len(paths) > 1 else ""
            self.run(open_case(paths[0], kept_in, self._shown(), note), f"Opening {paths[0].name}", paths)
        else:
            job = open_recordings(paths, self._new, kept_in, self._shown())
            self.run(job, f"Reading {paths[0].name}", paths)
            self._loading.look.begin(paths[0])
        self._left_out = left_out

    def open_sample(self, sample: Sample = MEMBRANES) -> None:
        self.run(open_sample(sample, kept_in=self._kept_in, shown=self._shown()), "Opening the sample")

    def run(self, job: Job, what: str, paths: Sequence[Path] = ()) -> None:
        """Open what a job brings, which the user knows by these paths, with its name and a bar in the meantime."""
        self._page.stop()
        self._loading.begin(what)
        self._wanted, self._left_out = tuple(paths), ""
        self._task.run(partial(_looked_through, job))
        self.began.emit()

    def give_up(self) -> None:
        """Nothing comes of what is being opened."""
        self._task.forget()
        self.ended.emit()

    def close_down(self) -> None:
        """Nothing is opened any more once this returns."""
        self._task.close_down()
        self._loading.look.close_down()
        self._page.close_down()

    # --- what comes ------------------------------------------------------------------------------------------------

    @property
    def _new(self) -> NewCase:
        return NewCase(self._preferences.vocabulary, self._kinds.kind)

    @property
    def _kept_in(self) -> Path | None:
        return kept_folder(self._preferences)

    def _take(self, found: object) -> None:
        match found:
            case Opened(notes=notes):
                self.opened.emit(found._replace(notes=(*notes, self._left_out)) if self._left_out else found)
            case Several(recordings):
                self._list(recordings)
            case Existing():
                self.ended.emit()
                self._ask_which(found)
            case Started(cases):
                self._open_first(cases)
            case AlreadyOpen() | _:
                self.ended.emit()

    def _take_fault(self, error: object) -> None:
        self.ended.emit()
        self.failed.emit(str(error))

    def _list(self, recordings: Sequence[Path]) -> None:
        self._page.begin(recordings, self._kept_in, self._left_out)
        self._page.show_kinds(self._kinds.offered, self._kinds.kind)
        self.listed.emit()

    def _ask_which(self, found: Existing) -> None:
        answers = [
            ("Open that case", partial(self.open_paths, [found.case], self._left_out)),
            ("Start a new case", partial(self._start_new, found.recordings)),
        ]
        ask(self._window, found.says, "A new case is stored beside it, under its own name.", answers)

    def _start_new(self, recordings: Sequence[Path]) -> None:
        if len(recordings) > 1:
            self._list(recordings)
        else:
            left_out = self._left_out
            self._start_case(recordings)
            self._left_out = left_out

    def _start_case(self, recordings: Sequence[Path]) -> None:
        job = start_case(recordings, self._new, self._kept_in)
        self.run(job, f"Reading {recordings[0].name}", recordings)

    def _start_each(self, recordings: Sequence[Path]) -> None:
        job = start_each(recordings, self._new, self._kept_in)
        self.run(job, f"Reading {recordings[0].name}", recordings)

    def _open_first(self, cases: Sequence[Path]) -> None:
        self._list_as_recent(cases)
        self.open_paths(cases[:1])

    def _list_as_recent(self, cases: Sequence[Path]) -> None:
        """Those that are not opened now are at hand in the list of those last open."""
        for case in reversed(cases):
            recent = self._preferences.recent_cases
            self._preferences.recent_cases = with_case(recent, case, datetime.now(), shown_last(recent, case))


def _looked_through(job: Job, progress: Progress) -> object:
    """What the window shows of a case at first is worked out beside it; its blocks of tags keep that."""
    found = job(progress)
    if isinstance(found, Opened):
        case = found.session.case
        questions(case)
        TimeSoFar(case)
        bands_of(case)
        Overview(case)
        case_colours(case)
    return found


def _close_again(outcome: object) -> None:
    """What was opened after it had been given up."""
    if isinstance(outcome, Opened):
        with suppress(AnnotatorError):  # it was changed by nobody, so nothing can be lost
            outcome.session.close()
