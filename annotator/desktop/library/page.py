"""The library page: a folder of cases, what is asked of them, and the tags found, each a key press from its picture."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QStringListModel, Qt, Signal
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import (
    QCompleter,
    QFileDialog,
    QHBoxLayout,
    QProgressBar,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from annotator.desktop.library.looking import CASES, HITS, Goal, Seen, look
from annotator.desktop.library.question_row import QuestionRow
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.tasks.latest_task import LatestTask
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import label, plain_tip, word_button
from annotator.desktop.widgets.full_page import FullPage
from annotator.desktop.widgets.labels import ElidedLabel, WrappedLabel
from annotator.desktop.widgets.table import Table
from annotator.desktop.widgets.table_view import FiguresTable
from annotator.measure.over_cases.caution import CAUTION

_HINT = "Ask for a step, an instrument or an event:\nwhere it is, how often, how long"
_NO_TAGS = "No tags found"
_NO_CASES = "No cases in this folder or the folders below it"
_NO_FOLDER = "Open the folder in which your cases lie. They are only read."


class LibraryPage(FullPage):
    """went       a case, and the time in it at which it should be seen
    refreshed  what was asked is on screen, or why it can't be answered
    """

    went = Signal(Path, int)
    refreshed = Signal()

    def __init__(self, theme: Theme, preferences: Preferences, parent: QWidget | None = None) -> None:
        super().__init__("Library", theme, parent)
        self._preferences = preferences
        self._seen: Seen | None = None
        self._looking = LatestTask(self)
        self.folder = ElidedLabel(cut=Qt.TextElideMode.ElideMiddle)
        self.open = word_button("Open folder…", self.choose_folder, "Open a folder of cases")
        self.question = QuestionRow(theme, _completer(self), _completer(self))
        self.cases, self.hits = FiguresTable("Cases"), FiguresTable("Tags found")
        self.answer = WrappedLabel("")
        self.fault = WrappedLabel("warning")
        self.notes = WrappedLabel()
        self._tables = QSplitter(Qt.Orientation.Horizontal)
        self._found = QStackedWidget()
        self.hint = label(_HINT, "second")
        self._caution = WrappedLabel()
        self._counts = label("", "second")
        self._bar = QProgressBar()
        self._bar.setRange(0, 1000)
        self._bar.setTextVisible(False)
        self._bar.setAccessibleName("Progress of reading the cases")
        self._lay_out()
        self._join()
        self._show_nothing()

    def _lay_out(self) -> None:
        where = QHBoxLayout()
        where.setSpacing(2 * UNIT)
        where.addWidget(self.folder, 1)
        where.addWidget(self._counts)
        where.addWidget(self.open)
        self._tables.setChildrenCollapsible(False)
        self._tables.addWidget(self.cases)
        self._tables.addWidget(self._found)
        for side in (0, 1):
            self._tables.setStretchFactor(side, 1)  # the file of a case is legible on a laptop
        for page in (self.hint, self.hits):
            self._found.addWidget(page)
        self.hint.setAlignment(Qt.AlignmentFlag.AlignCenter)
        inside = QVBoxLayout()
        inside.setContentsMargins(6 * UNIT, 4 * UNIT, 6 * UNIT, 4 * UNIT)
        inside.setSpacing(3 * UNIT)
        inside.addLayout(where)
        inside.addWidget(self.question)
        inside.addWidget(self._bar)
        inside.addWidget(self.fault)
        inside.addWidget(self.answer)
        inside.addWidget(self._tables, 1)
        inside.addWidget(self.notes)
        inside.addWidget(self._caution)
        self._rest = QWidget()  # takes the room where there are no tables
        inside.addWidget(self._rest, 1)
        self.column.addLayout(inside, 1)
        self._caution.say(CAUTION)  # in its place now; else it would be shown as a window of its own

    def _join(self) -> None:
        self.question.asked.connect(self.refresh)
        self.cases.went.connect(lambda row: self._go(self._seen.case_goals[row] if self._seen else None))
        self.hits.went.connect(lambda row: self._go(self._seen.hit_goals[row] if self._seen else None))
        self._looking.came.connect(self._take)
        self._looking.failed.connect(self._take_fault)
        self._looking.progressed.connect(lambda share, _left: self._bar.setValue(round(1000 * share)))

    # --- asking ------------------------------------------------------------------------------------------------------

    def take_focus(self) -> None:
        """Begin with what is asked, or with the folder, and look whether the cases have changed."""
        first = self.open if self._preferences.library_folder is None else self.question.what
        first.setFocus(Qt.FocusReason.OtherFocusReason)
        self.refresh()

    def choose_folder(self) -> None:
        """Ask for the folder of the cases."""
        begun = self._preferences.library_folder or Path.home()
        chosen = QFileDialog.getExistingDirectory(self, "Open folder of cases", str(begun))
        if chosen:
            self.open_folder(Path(chosen))

    def open_folder(self, folder: Path) -> None:
        """Look into another folder."""
        self._preferences.library_folder = folder
        self._show_nothing()
        self.refresh()

    def refresh(self) -> None:
        """Read what has changed in the folder and ask anew."""
        folder = self._preferences.library_folder
        if folder is None:
            return
        self._bar.setValue(0)
        self._bar.show()
        self._looking.run(look(folder, self.question.question))

    def close_down(self) -> None:
        """Nothing is read any more once this returns."""
        self._looking.close_down()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._looking.forget()

    # --- what comes --------------------------------------------------------------------------------------------------

    def _show_nothing(self) -> None:
        folder = self._preferences.library_folder
        self._seen = None
        self.folder.setText(_NO_FOLDER if folder is None else str(folder))
        for part in (self.question, self._tables):
            part.setVisible(folder is not None)
        self._rest.setVisible(folder is None)
        self._bar.hide()
        self._counts.setText("")
        self.answer.say("")
        self.fault.say("")
        self.notes.say("")
        self.cases.show_table(Table(CASES, (), "Title"))
        self.hits.show_table(Table(HITS, (), "Note"))
        self._found.setCurrentWidget(self.hint)

    def _take(self, found: object) -> None:
        if not isinstance(found, Seen):
            return
        self._seen = found
        self._bar.hide()
        self.question.offer(found)
        self.cases.show_table(found.cases)
        self.hits.show_table(found.hits)
        self.hint.setText(_hint(found))
        self._found.setCurrentWidget(self.hits if found.hit_goals else self.hint)
        tags, cases = len(found.hit_goals), len(found.case_goals)
        found_tags = f"  ·  {_counted(tags, 'tag')} found" if found.is_asked else ""
        self._counts.setText(_counted(cases, "case") + found_tags)
        self.answer.say("\n".join(found.answer))
        self.fault.say(found.fault)
        self._say_left_out(found.left_out)
        self.refreshed.emit()

    def _say_left_out(self, says: Sequence[str]) -> None:
        """In a line, as a second person's copy is left out of every library that has one; the tip has all."""
        more = f", and {len(says) - 1} more" if len(says) > 1 else ""
        self.notes.say(f"Left out: {says[0]}{more}" if says else "")
        self.notes.setToolTip(plain_tip(*says))
        self.notes.setAccessibleDescription("\n".join(says))

    def _take_fault(self, error: object) -> None:
        self._show_nothing()
        self.fault.say(str(error))
        self.refreshed.emit()

    def _go(self, goal: Goal | None) -> None:
        if goal is not None:
            self.went.emit(goal.case, goal.at)


def _hint(found: Seen) -> str:
    """What stands in the place of the tags where there are none."""
    if not found.case_goals:
        return _NO_CASES
    return _NO_TAGS if found.is_asked and not found.fault else _HINT


def _completer(parent: QWidget) -> QCompleter:
    """Offers the concepts of the library while one is typed."""
    made = QCompleter(QStringListModel(parent), parent)
    made.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    made.setFilterMode(Qt.MatchFlag.MatchContains)
    return made


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"
