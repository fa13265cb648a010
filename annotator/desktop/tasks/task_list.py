"""Background work in the bottom line of the window: words, a thin bar, the time left, and a button that stops it."""

from time import monotonic
from typing import Final

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QToolButton, QVBoxLayout, QWidget

from annotator.desktop.tasks.task import Task, time_left
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import label
from annotator.desktop.widgets.focus import give_up_focus
from annotator.errors import InvalidFile

_CALM: Final = 0.3
"""Seconds that work may take without being shown: what flashes by only disturbs."""


class TaskList(QWidget):
    """The first of the works under way, and how many more there are; hidden while there is none.

    said  a line for the user when a work failed or was stopped, and whether it is a warning
    """

    said = Signal(str, bool)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._lines: list[_Line] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(2 * UNIT)
        self._more = _small_button()
        self._more.setProperty("narrow", True)
        self._more.setCheckable(True)
        self._more.setAccessibleName("Show other background tasks")
        self._more.toggled.connect(self._show_others)
        self._row.addWidget(self._more)
        self._others = QFrame()
        self._others.setProperty("kind", "sheet")
        self._others.setAccessibleName("Background tasks")
        self._column = QVBoxLayout(self._others)
        self._column.setContentsMargins(3 * UNIT, UNIT, UNIT, UNIT)
        self._column.setSpacing(0)
        self._others.hide()
        theme.changed.connect(self._paint_icons)
        self.hide()

    def add(self, task: Task, what: str) -> None:
        """Show work from now until it ends; `what` names what is made: "Thumbnails". Nothing the second time."""
        if any(line.task is task for line in self._lines):
            return
        line = _Line(task, what, self)
        self._lines.append(line)
        line.shown.connect(self._arrange)
        line.ended.connect(self._drop)
        self._paint_icons()

    def leave_out(self, task: Task) -> None:
        """Show work no longer, as it is shown elsewhere again or has been told of."""
        for line in [one for one in self._lines if one.task is task]:
            self._put_away(line)
            self._arrange()

    @property
    def texts(self) -> list[str]:
        """What is said of each work that is shown."""
        return [line.text for line in self._lines if line.is_due]

    def stop_first(self) -> None:
        """Stop the work in the foot."""
        if first := next((line for line in self._lines if line.is_due), None):
            first.stop()

    def _drop(self, says: str, warns: bool) -> None:
        line = self.sender()
        if not isinstance(line, _Line) or line not in self._lines:
            return
        self._put_away(line)
        if says:
            self.said.emit(says, warns)
        self._arrange()

    def _put_away(self, line: "_Line") -> None:
        self._lines.remove(line)
        give_up_focus(line)
        line.hide()
        line.deleteLater()

    def _arrange(self) -> None:
        """The first in the foot, the others in the sheet above it."""
        due = [line for line in self._lines if line.is_due]
        for place, line in enumerate(due):
            if place == 0 and self._row.indexOf(line) < 0:
                self._row.insertWidget(0, line)
            elif place and self._column.indexOf(line) < 0:
                self._column.addWidget(line)
            line.show()
        self._more.setText(f"and {len(due) - 1} more")
        self._more.setVisible(len(due) > 1)
        if len(due) < 2:
            self._more.setChecked(False)
        self.setVisible(bool(due))
        self._place_others()

    def _show_others(self, shown: bool) -> None:
        self._others.setParent(self.window())
        self._others.setVisible(shown)
        self._place_others()

    def _place_others(self) -> None:
        """Just above the foot, its right edge over the foot's."""
        if self._others.isVisible():
            self._others.adjustSize()
            corner = self.mapTo(self.window(), self.rect().topRight())
            self._others.move(corner.x() - self._others.width() + UNIT, corner.y() - self._others.height() - 2 * UNIT)
            self._others.raise_()

    def moveEvent(self, _event: QEvent) -> None:
        self._place_others()

    def resizeEvent(self, _event: QEvent) -> None:
        self._place_others()

    def _paint_icons(self) -> None:
        for line in self._lines:
            line.cancel.setIcon(icon(Icon.CLOSE, self._theme.colours))


class _Line(QWidget):
    """One work.

    shown  it has gone on long enough to be shown
    ended  what to say of it, if anything, and whether that is a warning
    """

    shown = Signal()
    ended = Signal(str, bool)

    def __init__(self, task: Task, what: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.task = task
        self._what = what
        self._begun = monotonic()
        self.is_due = False
        self._words = label(what, "second")
        self._bar = QProgressBar()
        self._bar.setProperty("kind", "thin")
        self._bar.setTextVisible(False)
        self._bar.setRange(0, 1000)
        self._bar.setFixedWidth(30 * UNIT)
        self._bar.setAccessibleName(f"{what}: progress")
        self.cancel = _small_button()
        self.cancel.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self.cancel.setAccessibleName(f"Stop: {what}")
        self.cancel.setToolTip("Stop")
        self.cancel.clicked.connect(self.stop)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(self._words, 1)
        row.addWidget(self._bar)
        row.addWidget(self.cancel)
        self.hide()
        task.progressed.connect(self._show)
        task.done.connect(self._end_well)
        task.failed.connect(self._end_badly)
        task.cancelled.connect(self._end_stopped)
        task.destroyed.connect(self._end_well)

    @property
    def text(self) -> str:
        return self._words.text()

    def stop(self) -> None:
        self.task.cancel()
        self.cancel.setEnabled(False)
        self._words.setText(f"{self._what}: stopping…")

    def _show(self, share: float, left: object) -> None:
        self._bar.setValue(round(1000 * share))
        if self.cancel.isEnabled():
            words = ", ".join(filter(None, (self.task.words, time_left(left))))
            self._words.setText(f"{self._what}: {words}" if words else self._what)
        if not self.is_due and monotonic() - self._begun > _CALM:
            self.is_due = True
            self.shown.emit()

    def _end_well(self, _result: object) -> None:
        self.ended.emit("", False)

    def _end_badly(self, error: object) -> None:
        first = error.faults[0] if isinstance(error, InvalidFile) and error.faults else error  # there is one line
        self.ended.emit(f"{self._what}: {first}", True)

    def _end_stopped(self) -> None:
        self.ended.emit(f"{self._what}: stopped; nothing is left half-written", False)


def _small_button() -> QToolButton:
    made = QToolButton()
    made.setProperty("kind", "small")
    made.setProperty("rank", "quiet")
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
