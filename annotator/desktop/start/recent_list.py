"""The cases last open, on the first screen: a click goes on with one."""

from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.recent import RecentCase, without
from annotator.desktop.tasks.task import Task
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label
from annotator.desktop.widgets.labels import ElidedLabel
from annotator.progress import Progress


class RecentList(QWidget):
    """Hidden while there are none. Whether the files are still there is looked up beside the window, as a network
    folder that is away keeps whoever asks for it waiting.

    chosen  the path of a case
    """

    chosen = Signal(object)

    def __init__(self, preferences: Preferences, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._preferences = preferences
        self._theme = theme
        self._rows: list[_Row] = []
        self.missing: frozenset[Path] = frozenset()
        """The paths at which no case was found when they were last looked up."""
        self._task: Task | None = None
        clear = PushButton("Clear the list")
        clear.setProperty("rank", "quiet")
        clear.setAutoDefault(True)
        clear.clicked.connect(self._forget_all)
        head = QHBoxLayout()
        head.setContentsMargins(3 * UNIT, 0, 0, 0)
        head.addWidget(label("Last open", "group"))
        head.addStretch(1)
        head.addWidget(clear)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addLayout(head)
        theme.changed.connect(self._paint_icons)
        self.refresh()

    def refresh(self) -> None:
        """Show the list as it is kept now."""
        for row in self._rows:
            row.hide()
            row.deleteLater()
        now = datetime.now()
        self._rows = [_Row(one, one.when(now)) for one in self._preferences.recent_cases]
        for row in self._rows:
            row.opens.connect(self.chosen)
            row.forgotten.connect(self._forget)
            self._column.addWidget(row)
        self.setVisible(bool(self._rows))
        self._mark_missing()
        self._look_for_files()

    def close_down(self) -> None:
        """Nothing is looked up any more once this returns, unless it hangs."""
        if self._task is not None:
            self._task.end_soon()

    def _forget(self, path: Path) -> None:
        self._preferences.recent_cases = without(self._preferences.recent_cases, path)
        self.refresh()

    def _forget_all(self) -> None:
        self._preferences.recent_cases = ()
        self.refresh()

    def _look_for_files(self) -> None:
        paths = [row.path for row in self._rows]

        def job(_progress: Progress) -> frozenset[Path]:
            return frozenset(path for path in paths if not _is_there(path))

        if paths and self._task is None:
            self._task = Task(job, self)
            self._task.done.connect(self._take_missing)
            self._task.start()

    def _take_missing(self, missing: frozenset[Path]) -> None:
        if self._task is not None:
            self._task.deleteLater()
        self._task, self.missing = None, missing
        self._mark_missing()

    def _mark_missing(self) -> None:
        for row in self._rows:
            row.mark(missing=row.path in self.missing)
        self._paint_icons()

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for row in self._rows:
            sign = icon(row.sign, colours, on=colours.warning if row.sign is Icon.MISSING else colours.muted)
            row.show_icons(sign, icon(Icon.CLOSE, colours, on=colours.muted))


class _Row(QWidget):
    """One case: a button over the whole width, and a small one that takes it off the list."""

    opens = Signal(object)
    forgotten = Signal(object)

    def __init__(self, case: RecentCase, when: str) -> None:
        super().__init__()
        self.path = Path(case.path)
        self.sign = Icon.OPEN_CASE
        self._said = when
        self._mark = QLabel()
        self._when = label(when, "second")
        self._open = PushButton()
        self._open.setProperty("kind", "row")
        self._open.setProperty("rank", "quiet")
        self._open.setAutoDefault(True)
        self._open.setAccessibleName(f"Open {case.name}")
        self._open.clicked.connect(lambda: self.opens.emit(self.path))
        inside = QHBoxLayout(self._open)
        inside.setContentsMargins(3 * UNIT, 0, 3 * UNIT, 0)
        inside.setSpacing(3 * UNIT)
        name = ElidedLabel()
        name.setText(case.name)
        for part, stretch in ((self._mark, 0), (name, 1), (self._when, 0)):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            inside.addWidget(part, stretch)
        self._forget = QToolButton()
        self._forget.setProperty("kind", "small")
        self._forget.setProperty("rank", "quiet")
        self._forget.setIconSize(QSize(14, 14))
        self._forget.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._forget.setToolTip("Take it off the list; the case stays")
        self._forget.setAccessibleName(f"Take {case.name} off the list")
        self._forget.clicked.connect(lambda: self.forgotten.emit(self.path))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self._open, 1)
        row.addWidget(self._forget)

    def mark(self, *, missing: bool) -> None:
        self.sign = Icon.MISSING if missing else Icon.OPEN_CASE
        self._when.setText("not there now" if missing else self._said)
        self._open.setAccessibleDescription("Not where it was" if missing else f"Last open {self._said}")

    def show_icons(self, sign: QIcon, forget: QIcon) -> None:
        self._mark.setPixmap(sign.pixmap(16, 16))
        self._forget.setIcon(forget)


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # such as a drive that is not ready
        return False
