"""Publishing in one place: choose, write beside the window, and see what came of it."""

from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.preferences.cache_room import kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.publishing import jobs as publish_jobs
from annotator.desktop.publishing.form import PublishForm
from annotator.desktop.publishing.outcome import PublishOutcome
from annotator.desktop.publishing.target import PublishTarget
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.desktop.tasks.task import Task
from annotator.desktop.tasks.task_row import TaskRow
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label, without_argument
from annotator.desktop.widgets.side_page import SidePage
from annotator.model.case import UNTITLED, Tag
from annotator.publish.names import USUAL, safe_name
from annotator.publish.options import Options

CAUTION = (
    "Teaching material, no clinical record and no medical device. Consent and your local privacy rules apply. "
    "Nothing has looked for a patient's identity in picture or sound."
)

_EXACT = "Cut at the very frames. Encoding takes as long as the clips last, or some times that."
_COPIED = "Nothing is encoded anew; a copy begins at the key frame before its tag."


class PublishPanel(SidePage):
    """Writes what is ticked; every file whole or not at all.

    wrote     something was written
    finished  the work has ended, whatever came of it
    looked    where copied clips would begin is known, and said
    hidden    writing goes on, and the panel is not seen; carries the Task and what it is called
    told      the panel is seen again, or the writing has ended; carries the Task
    """

    wrote = Signal()
    finished = Signal()
    looked = Signal()
    hidden = Signal(object, str)
    told = Signal(object)

    def __init__(
        self, controller: Controller, theme: Theme, preferences: Preferences, parent: QWidget | None = None
    ) -> None:
        super().__init__("Publish", theme, parent)
        self._controller = controller
        self._preferences = preferences
        self._unseen: Task | None = None
        self._looking = LatestTask(self)
        self._looking.came.connect(self._say_of_copies)
        self._looking.failed.connect(self._say_of_copies)
        kept = preferences.publishing
        self.form = PublishForm(controller.case, kept)
        title = controller.case.title
        name = USUAL if title == UNTITLED else safe_name(title)
        self.target = PublishTarget(controller.session.path.parent, preferences.publish_folder, name, kept.replace)
        self.write = _button("Write what is ticked", self._write)
        self.write.setProperty("rank", "main")
        self.back = _button("Back to the choices", self._back)
        self.result = PublishOutcome()
        self.task_row = TaskRow()
        self.task_row.ended.connect(self._show_outcome)
        self._pages = QStackedWidget()
        self._caution = label(CAUTION, "second")
        self._lay_out()
        self.form.changed.connect(self._take_choices)
        self.target.changed.connect(self._take_choices)
        self.target.chosen.connect(self._keep_folder)
        for signal in (controller.selection_changed, controller.changed):
            signal.connect(self._look_again)

    @property
    def options(self) -> Options:
        """The choices as they stand."""
        return replace(self.form.options, replace=self.target.replace.isChecked())

    def stop(self) -> None:
        """Stop writing, and show what came of it; nothing is written any more once this returns."""
        self.task_row.stop()

    def close_down(self) -> None:
        """Stop long work; nothing is written any more once this returns."""
        self.task_row.close_down()
        self._looking.close_down()

    # --- putting it together -----------------------------------------------------------------------------

    def _lay_out(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 4 * UNIT)
        column.setSpacing(4 * UNIT)
        column.addWidget(self.form)
        column.addWidget(self.target)
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        after = QWidget()
        shown = QVBoxLayout(after)
        shown.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 0)
        shown.setSpacing(2 * UNIT)
        shown.addWidget(self.task_row)
        shown.addWidget(self.result, 1)
        self._pages.addWidget(scroll)
        self._pages.addWidget(after)
        self.column.addWidget(self._pages, 1)
        self._caution.setWordWrap(True)
        ends = QVBoxLayout()
        ends.setContentsMargins(4 * UNIT, 0, 4 * UNIT, 4 * UNIT)
        ends.setSpacing(2 * UNIT)
        for part in (self._caution, self.write, self.back):
            ends.addWidget(part)
        self.column.addLayout(ends)
        self.back.hide()

    # --- writing -----------------------------------------------------------------------------------------

    def _write(self) -> None:
        session = self._controller.session
        job = publish_jobs.publication(
            session.case,
            session.path,
            self.options,
            self._tags(),
            self.target.folder,
            self.target.name,
            kept_folder(self._preferences),
        )
        self._controller.player.pause()
        self._show_writing()
        self.task_row.start(job, "Writing")
        self.setFocus()  # on no button: whoever goes on with Space stops nothing by it

    def go_on(self, task: Task) -> None:
        """Show writing that was begun in a panel before this one, of the same case."""
        self._show_writing()
        self.task_row.go_on(task, "Writing")
        if not self.isVisible():
            self._tell_elsewhere()

    @property
    def is_writing(self) -> bool:
        return self.task_row.running is not None

    def _show_writing(self) -> None:
        self.result.hide()
        self._show_page(1)
        self.back.setEnabled(False)

    def _show_outcome(self, ended: object) -> None:
        outcome = publish_jobs.outcome_of(ended)
        self._tell_here()
        self.result.show_it(outcome)
        self.result.show()
        self.back.setEnabled(True)
        if self.hasFocus() or self.task_row.cancel.hasFocus():  # who has gone on with other work keeps the keys
            self.back.setFocus()
        self._controller.said.emit(self.result.headline, bool(outcome.failures))
        if outcome.written:
            self.wrote.emit()
        self.finished.emit()

    def _back(self) -> None:
        self._show_page(0)
        self._look_again()
        self.write.setFocus()

    def _show_page(self, number: int) -> None:
        self._pages.setCurrentIndex(number)
        self.write.setVisible(number == 0)
        self.back.setVisible(number == 1)

    def _tags(self) -> Sequence[Tag]:
        options, case = self.options, self._controller.case
        if not options.of_all:
            return self._controller.all_selected
        return tuple(tag for tag in case.tags if (facet := case.facet_of(tag)) and facet.name in options.facets)

    # --- what is said beside the choices -----------------------------------------------------------------

    def _take_choices(self) -> None:
        self._preferences.publishing = self.options
        self._look_again()

    def _keep_folder(self, folder: Path | None) -> None:
        self._preferences.publish_folder = folder

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._look_again()
        self._tell_here()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._tell_elsewhere()

    def _tell_elsewhere(self) -> None:
        self._unseen = self.task_row.running
        if self._unseen is not None:
            self.hidden.emit(self._unseen, "Publishing")

    def _tell_here(self) -> None:
        if self._unseen is not None:
            self.told.emit(self._unseen)
            self._unseen = None

    def _look_again(self) -> None:
        """Say before what will happen: which files are there already, how many tags, where a copy would begin."""
        self._looking.forget()
        if not self.isVisible():
            return
        options, tags = self.options, self._tags()
        self.target.look(self._controller.case, options)
        self.write.setEnabled(_is_anything(options, tags))
        self.form.on_tags.say(_counted(len(tags), options.of_all) if options.clips or options.stills else "")
        self.form.on_clips.say(_COPIED if options.clip_form == "copy" else _EXACT)
        if options.clips and tags and options.clip_form == "copy":
            session, kept_in = self._controller.session, kept_folder(self._preferences)
            self._looking.run(publish_jobs.early_starts(session.case, session.path, tags, kept_in))

    def _say_of_copies(self, says: object) -> None:
        self.form.on_clips.say(f"{_COPIED} {says}".rstrip())
        self.looked.emit()


def _counted(tags: int, of_all: bool) -> str:
    if not tags:
        return "There are none." if of_all else "No tag is chosen: choose one or several in the record."
    return "1 tag" if tags == 1 else f"{tags} tags"


def _is_anything(options: Options, tags: Sequence[Tag]) -> bool:
    of_kinds = bool(options.facets) and (options.chapters or (options.durations and bool(options.forms)))
    return of_kinds or options.shared or options.recording or (bool(tags) and (options.clips or options.stills))


def _button(words: str, does: Callable[[], None]) -> PushButton:
    made = PushButton(words)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.clicked.connect(without_argument(does))
    return made
