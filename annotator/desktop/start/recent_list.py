"""The recent cases on the start screen: a click opens one."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime
from operator import attrgetter
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QContextMenuEvent, QIcon, QImage, QPixmap
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from annotator.desktop.preferences.cache_room import Room
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.recent import RecentCase, without
from annotator.desktop.tasks.task import Task
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.theme.tokens import SMALL_ICON, UNIT
from annotator.desktop.widgets.controls import PushButton, label, plain_tip
from annotator.desktop.widgets.labels import ElidedLabel
from annotator.desktop.widgets.shortcut_menu import Choice, pop_up
from annotator.desktop.widgets.system import open_path
from annotator.media.cache.strip_cache import StripCache

_PICTURE = QSize(72, 40)
"""Pixels."""


class _Found(NamedTuple):
    """What a look at the disk brought: which files are not there, and pictures as JPEG by the path of their case."""

    missing: frozenset[Path]
    pictures: dict[Path, bytes]


class RecentList(QWidget):
    """Hidden while there are none. Whether the files are still there is looked up beside the window, as a network
    folder that is away keeps whoever asks for it waiting; pictures are taken from the cache there too.

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
        self._pictures: dict[Path, bytes] = {}
        self._task: Task | None = None
        clear = PushButton("Clear")
        clear.setProperty("rank", "quiet")
        clear.setAutoDefault(True)
        clear.setAccessibleName("Clear recent cases")
        clear.setToolTip("Empty this list; the cases stay where they are")
        clear.clicked.connect(self._forget_all)
        head = QHBoxLayout()
        head.setContentsMargins(3 * UNIT, 0, 0, 0)
        head.addWidget(label("Recent cases", "group"))
        head.addStretch(1)
        head.addWidget(clear)
        self._grid = QGridLayout()
        self._grid.setSpacing(UNIT)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addLayout(head)
        column.addLayout(self._grid)
        theme.changed.connect(self._paint_icons)
        self.refresh()

    def refresh(self) -> None:
        """Show the list as it is kept now, in two columns, the newest first from left to right."""
        for row in self._rows:
            row.hide()
            row.deleteLater()
        now = datetime.now()
        self._rows = [_Row(one, one.when(now)) for one in self._preferences.recent_cases]
        for number, row in enumerate(self._rows):
            row.opens.connect(self.chosen)
            row.forgotten.connect(self._forget)
            self._grid.addWidget(row, number // 2, number % 2)
        for column in range(2):
            self._grid.setColumnStretch(column, 1)
        self.setVisible(bool(self._rows))
        self._mark_found()
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
        cases, cache = self._preferences.recent_cases, StripCache(*Room.of(self._preferences))
        if cases and self._task is None:
            self._task = Task(lambda _progress: _look_for(cases, cache), self)
            self._task.done.connect(self._take_found)
            self._task.start()

    def _take_found(self, found: _Found) -> None:
        if self._task is not None:
            self._task.deleteLater()
        self._task, self.missing, self._pictures = None, found.missing, found.pictures
        self._mark_found()

    def _mark_found(self) -> None:
        for row in self._rows:
            row.mark(missing=row.path in self.missing)
        self._paint_icons()

    def _paint_icons(self) -> None:
        colours = self._theme.colours
        for row in self._rows:
            sign = icon(row.sign, colours, on=colours.warning if row.sign is Icon.MISSING else colours.muted)
            row.show_icons(sign, icon(Icon.CLOSE, colours, on=colours.muted))
            if row.path in self._pictures and row.path not in self.missing:
                row.show_picture(QImage.fromData(self._pictures[row.path]))


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
        self._mark.setFixedSize(_PICTURE)
        self._mark.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._when = label(when, "second")
        self._open = PushButton()
        self._open.setProperty("kind", "row")
        self._open.setProperty("rank", "quiet")
        self._open.setAutoDefault(True)
        self._open.setAccessibleName(f"Open {case.name}")
        self._open.setToolTip(plain_tip(case.name, case.path))
        self._open.clicked.connect(lambda: self.opens.emit(self.path))
        self._lay_out_inside(case)
        self._forget = QToolButton()
        self._forget.setProperty("kind", "small")
        self._forget.setProperty("rank", "quiet")
        self._forget.setIconSize(QSize(SMALL_ICON, SMALL_ICON))
        self._forget.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._forget.setToolTip("Remove from this list; the case stays where it is")
        self._forget.setAccessibleName(f"Remove {case.name} from the list")
        self._forget.clicked.connect(lambda: self.forgotten.emit(self.path))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self._open, 1)
        row.addWidget(self._forget)

    def _lay_out_inside(self, case: RecentCase) -> None:
        """The picture; the title with the time beside it; below them the folder, whose end says most."""
        title, folder = ElidedLabel("title"), ElidedLabel("second", Qt.TextElideMode.ElideLeft)
        title.setText(case.name)
        folder.setText(case.folder)
        inside = QGridLayout(self._open)
        inside.setContentsMargins(2 * UNIT, UNIT, 2 * UNIT, UNIT)
        inside.setHorizontalSpacing(3 * UNIT)
        inside.setVerticalSpacing(0)
        inside.addWidget(self._mark, 0, 0, 2, 1)
        inside.addWidget(title, 0, 1)
        inside.addWidget(self._when, 0, 2)
        inside.addWidget(folder, 1, 1, 1, 2)
        inside.setColumnStretch(1, 1)
        for part in (self._mark, title, self._when, folder):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def mark(self, *, missing: bool) -> None:
        self.sign = Icon.MISSING if missing else Icon.OPEN_CASE
        self._when.setText("Missing" if missing else self._said)
        self._open.setAccessibleDescription("Missing" if missing else f"Last open {self._said}")

    def show_icons(self, sign: QIcon, forget: QIcon) -> None:
        self._mark.setPixmap(sign.pixmap(20, 20))
        self._forget.setIcon(forget)

    def show_picture(self, image: QImage) -> None:
        """As large as there is room for, at its own shape."""
        dense = self.devicePixelRatioF()
        smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        pixmap = QPixmap.fromImage(image.scaled(_PICTURE * dense, *smooth))
        pixmap.setDevicePixelRatio(dense)
        self._mark.setPixmap(pixmap)

    @property
    def has_picture(self) -> bool:
        return self._mark.pixmap().deviceIndependentSize().height() > 20

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        offers = [
            Choice("Open", self._open.click),
            Choice("Show in folder", lambda: open_path(self.path.parent), self.sign is not Icon.MISSING),
            None,
            Choice("Remove from list", self._forget.click),
        ]
        pop_up(self, event.globalPos(), offers)


def _look_for(cases: Sequence[RecentCase], cache: StripCache) -> _Found:
    missing = frozenset(path for path in (Path(one.path) for one in cases) if not _is_there(path))
    pictures = {Path(one.path): picture for one in cases if (picture := _picture_of(one, cache))}
    return _Found(missing, pictures)


def _picture_of(case: RecentCase, cache: StripCache) -> bytes | None:
    """The last thumbnail that may stand for the case; None where none may, or none is kept."""
    found = case.picture
    film = cache.film(found.fingerprint) if found else None
    if found is None or film is None:
        return None
    number = bisect_right(film, found.until, key=attrgetter("time")) - 1
    return film[number].jpeg if number >= 0 and film[number].time >= found.since else None


def _is_there(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # such as a drive that is not ready
        return False
