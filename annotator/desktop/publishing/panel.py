"""Publishing in one place: select, write in the background, and see the result."""

from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

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
from annotator.desktop.widgets.controls import PushButton, label, without_argument, word_button
from annotator.desktop.widgets.labels import WrappedLabel
from annotator.desktop.widgets.side_page import SidePage
from annotator.model.case import UNTITLED, Tag
from annotator.publish.names import USUAL, safe_name
from annotator.publish.options import Options
from annotator.workflow.before_export import consent_of

CAUTION = (
    "Nobody and nothing has looked for a patient's identity in picture or sound. This is teaching material. "
    "Not a clinical record, not a medical device. Consent and local privacy rules apply."
)

_EXACT = "Re-encoding takes about as long as they last, or a few times that."
_COPIED = "A fast copy begins at the key frame before its tag."

_LOW = 360
"""Pixels: in a panel that is no higher, where it goes scrolls with the other choices."""

_NO_TAGS = {
    False: "No tag is selected for clips and stills: select one or several in the tag list.",
    True: "There are no tags of these categories for clips and stills.",
}


class PublishPanel(SidePage):
    """Writes what is ticked; every file whole or not at all.

    wrote     something was written
    finished  the work has ended, whatever came of it
    looked    where copied clips would begin is known, and said
    hidden    writing goes on, and the panel is not seen; carries the Task and what it is called
    told      the panel is seen again, or the writing has ended; carries the Task
    figures_wanted  the figures that the durations hold are to be shown in the window
    """

    wrote = Signal()
    finished = Signal()
    looked = Signal()
    hidden = Signal(object, str)
    told = Signal(object)
    figures_wanted = Signal()

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
        self.write = _button("Publish", self._write)
        self.write.setProperty("rank", "main")
        self.back = _button("Back", self._back)
        self.result = PublishOutcome()
        self.task_row = TaskRow()
        self.task_row.ended.connect(self._show_outcome)
        self._pages = QStackedWidget()
        self.on_tags = WrappedLabel()
        self.on_consent = WrappedLabel("warning")
        self._caution = WrappedLabel()
        self._more = word_button("More", self._show_caution, "More on what is not checked")
        self._lay_out()
        self.form.changed.connect(self._take_choices)
        self.target.changed.connect(self._take_choices)
        self.target.chosen.connect(self._keep_folder)
        for signal in (controller.selection_changed, controller.changed):
            signal.connect(self._look_again)

    @property
    def options(self) -> Options:
        """The choices as they stand."""
        return replace(self.form.options, replace=self.target.replaces)

    def stop(self) -> None:
        """Stop writing, and show what came of it; nothing is written any more once this returns."""
        self.task_row.stop()

    def close_down(self) -> None:
        """Stop long work; nothing is written any more once this returns."""
        self.task_row.close_down()
        self._looking.close_down()

    # --- putting it together -----------------------------------------------------------------------------

    def _lay_out(self) -> None:
        """The choices scroll where they must. Where it goes, what is said of it, and the button are always seen, below
        the choices: nothing that is ticked moves the next tick.
        """
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(4 * UNIT, UNIT, 4 * UNIT, 2 * UNIT)
        column.addWidget(self.form)
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(inside)
        foot = _inset(self.target, self.on_tags, self.on_consent, self.write)
        self._choices, self._foot = column, foot
        self._pages.addWidget(_column(scroll, _line(), _holding(foot)))
        self._pages.addWidget(_holding(_inset(self.task_row, self.result, None, self.back)))
        figures = word_button("Summary", self.figures_wanted.emit, "Show or hide the summary")
        for link in (self._more, figures):
            link.setProperty("kind", "link")
        self.add_to_head(figures)
        short = QHBoxLayout()
        short.addWidget(label("Not checked for patient identifiers", "second"), 1)
        short.addWidget(self._more)
        ends = QVBoxLayout()
        ends.setContentsMargins(4 * UNIT, 0, 3 * UNIT, UNIT)
        ends.setSpacing(0)
        ends.addLayout(short)
        ends.addWidget(self._caution)
        self._caution.say("")
        self.column.addWidget(self._pages, 1)
        self.column.addLayout(ends)
        self.column.setSpacing(0)

    def _show_caution(self) -> None:
        says_more = not self._caution.text()
        self._caution.say(CAUTION if says_more else "")
        self._more.setText("Less" if says_more else "More")

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
        self.task_row.start(job, "Publishing")
        self.setFocus()  # on no button: whoever goes on with Space stops nothing by it

    def go_on(self, task: Task) -> None:
        """Show writing that was begun in a panel before this one, of the same case."""
        self._show_writing()
        self.task_row.go_on(task, "Publishing")
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

    def _tags(self) -> Sequence[Tag]:
        return self._tags_of_all() if self.options.of_all else self._controller.all_selected

    def _tags_of_all(self) -> Sequence[Tag]:
        facets, case = self.options.facets, self._controller.case
        return tuple(tag for tag in case.tags if (facet := case.facet_of(tag)) and facet.name in facets)

    # --- what is said beside the choices -----------------------------------------------------------------

    def _take_choices(self) -> None:
        self._preferences.publishing = self.options
        self._look_again()

    def _keep_folder(self, folder: Path | None) -> None:
        self._preferences.publish_folder = folder

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a low panel, as at 200 %, the choices need the room more than where they go."""
        super().resizeEvent(event)
        is_low, is_among = self.height() <= _LOW, self._choices.indexOf(self.target) >= 0
        if is_low and not is_among:
            self._choices.insertWidget(1, self.target)
        elif is_among and not is_low:
            self._foot.insertWidget(0, self.target)

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
        self.form.count(len(self._controller.all_selected), len(self._tags_of_all()))
        self.on_consent.say("\n".join(consent_of(self._controller.case)))
        self._say_of_tags(_COPIED if options.clip_form == "copy" else _EXACT)
        if options.clips and tags and options.clip_form == "copy":
            session, kept_in = self._controller.session, kept_folder(self._preferences)
            self._looking.run(publish_jobs.early_starts(session.case, session.path, tags, kept_in))

    def _say_of_copies(self, says: object) -> None:
        self._say_of_tags(str(says) or _COPIED)
        self.looked.emit()

    def _say_of_tags(self, of_clips: str) -> None:
        """Which tags clips and stills will be of, right above the button; then what is to be known of clips."""
        options, count = self.options, len(self._tags())
        made = " and ".join(one for one, on in (("clips", options.clips), ("stills", options.stills)) if on)
        tags = f"tag{'s' * (count != 1)}"
        whose = f"{count} {tags} of these categories" if options.of_all else f"{count} selected {tags}"
        says = f"{made.capitalize()}: {whose}.{f' {of_clips}' if options.clips else ''}"
        self.on_tags.say("" if not made else says if count else _NO_TAGS[options.of_all])


def _is_anything(options: Options, tags: Sequence[Tag]) -> bool:
    of_kinds = bool(options.facets) and (options.chapters or (options.durations and bool(options.forms)))
    return of_kinds or options.shared or options.recording or (bool(tags) and (options.clips or options.stills))


def _button(words: str, does: Callable[[], None]) -> PushButton:
    made = PushButton(words)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    made.clicked.connect(without_argument(does))
    return made


def _holding(column: QVBoxLayout) -> QWidget:
    made = QWidget()
    made.setLayout(column)
    return made


def _inset(*parts: QWidget | None) -> QVBoxLayout:
    """Parts below one another, away from the edges; None for what is left of the height."""
    column = QVBoxLayout()
    column.setContentsMargins(4 * UNIT, 2 * UNIT, 4 * UNIT, UNIT)
    column.setSpacing(2 * UNIT)
    for part in parts:
        if part is None:
            column.addStretch(1)
        else:
            column.addWidget(part)
    return column


def _column(*parts: QWidget) -> QWidget:
    """Parts below one another, from edge to edge."""
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    for part in parts:
        column.addWidget(part)
    return made


def _line() -> QFrame:
    made = QFrame()
    made.setFixedHeight(1)
    made.setProperty("kind", "line")
    return made
