"""The case that is shown: put on screen, shown anew with other files, saved now and then, closed and remembered."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QWidget

from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.opening import Opened, look_again, open_case, sample_folder
from annotator.desktop.playback.player import Player
from annotator.desktop.preferences.cache_room import kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.recent import shown_last, with_case
from annotator.desktop.workspace.bench import Bench
from annotator.desktop.workspace.closing import Closing, Wanted
from annotator.errors import AnnotatorError
from annotator.model.timecode import Ms

_SAVE_EVERY = 60_000
"""Milliseconds between two saves of the case file; each change is in the journal long before."""


class ShownCase(QObject):
    """came    a Bench that belongs on screen now
    left    a Bench that does not any more
    shown   everything of a case is on screen
    closed  no case is shown any more
    failed  why a case could not be saved as it was closed
    wanted  a Job whose Opened should be shown next, and its name
    """

    came = Signal(object)
    left = Signal(object)
    shown = Signal()
    closed = Signal()
    failed = Signal(str)
    wanted = Signal(object, str)

    def __init__(
        self, window: QWidget, player: Player, preferences: Preferences, make: Callable[[Opened, Controller], Bench]
    ) -> None:
        super().__init__(window)
        self._player = player
        self._preferences = preferences
        self._make = make
        self.bench: Bench | None = None
        self.closing = Closing(window, lambda: self.bench, self.close)
        self._saver = QTimer(self, interval=_SAVE_EVERY)
        self._saver.timeout.connect(self._save_now)
        self._goal: tuple[Path, Ms] | None = None

    @property
    def controller(self) -> Controller | None:
        return self.bench.controller if self.bench else None

    @property
    def path(self) -> Path | None:
        """Where the case is kept."""
        return self.bench.controller.session.path if self.bench else None

    def take(self, opened: Opened, instead: Wanted) -> bool:
        """Show what was opened, in the place of what was open before; `instead` brings the same later.

        Where something of the case before can't be kept, that one stays: False.
        """
        if not opened.is_new:
            self._take_anew(opened)
            return True
        path = opened.session.path
        if not self.closing.may_close(instead):
            opened.session.close()
            return False
        self.close()
        left_at = self._goal_of(path) or shown_last(self._preferences.recent_cases, path)
        self._show(opened)
        if left_at:
            self._player.seek(left_at)
        self._remember(path, left_at)
        return True

    def goes_to(self, case: Path, at: Ms) -> None:
        """Show a case at a time in it: now where it is open, else as soon as it is."""
        self._goal = (case, at)
        if self.path == case:
            self._player.seek(self._goal_of(case))

    def _goal_of(self, case: Path) -> Ms:
        """The time at which the case should be seen, asked once; the goal of another case is given up."""
        goal, self._goal = self._goal, None
        return goal[1] if goal is not None and goal[0] == case else 0

    def close(self) -> bool:
        """Save and put away what is open, with what is being typed.

        Where something can't be kept, the case stays open and that is on screen: False.
        """
        if not self.closing.may_close(self.close):
            return False
        self._saver.stop()
        if self.bench is not None:
            self._remember(self.bench.controller.session.path, self._player.at)
        self._player.close()
        if self.bench is not None:
            self._put_away(self.bench)
            self._close_session(self.bench.controller)
            self.bench = None
        self.closed.emit()
        return True

    def make_anew(self, at: Ms) -> None:
        """The recordings are others now: nothing that is shown of them fits any more. It goes on at a case time."""
        if self.bench is not None:
            self.bench.goes_on_at = at
            self._player.close()
            session = self.bench.controller.session
            self.wanted.emit(look_again(session, "", kept_folder(self._preferences)), "Reading the recordings")

    def _take_anew(self, opened: Opened) -> None:
        """Show the open case with other files, or with the right to change it, at the same place."""
        if self.bench is None:
            return
        before = self.bench.controller
        at, chosen = before.at if self.bench.goes_on_at is None else self.bench.goes_on_at, before.selected
        writing = self.bench.publish.task_row.hand_over()
        self._put_away(self.bench)
        before.leave()
        if opened.session is not before.session:
            before.session.close()
        shown = self._show(opened)
        before.setParent(shown)  # what waits for the disk still tells through it
        shown.controller.retry.take_over(before.retry)
        if writing is not None:
            shown.publish.go_on(writing)
        self._player.seek(min(at, opened.session.case.duration))
        shown.controller.select(chosen.id if chosen else None)

    def _show(self, opened: Opened) -> Bench:
        controller = Controller(opened.session, opened.frames, self._player)
        made = self.bench = self._make(opened, controller)
        controller.setParent(made)
        controller.rearranged.connect(self.make_anew)
        made.relink.opened.connect(self._take_anew)
        made.versions.closes.connect(self.closing.when_written)
        made.versions.reopen.connect(self._reopen)
        # Qt opens the recording beside this thread, which lays the page out meanwhile.
        self._player.open(controller.case, opened.frames, [one.path for one in opened.located])
        self.came.emit(made)
        self.shown.emit()
        self._saver.start()
        made.picture.setFocus()
        return made

    def _reopen(self, path: Path, note: str) -> None:
        """Open a case in place of the one that was open, at the same time, with something to say of it."""
        at = self._player.at
        if self.close():
            self._remember(path, at)
            self.wanted.emit(open_case(path, kept_folder(self._preferences), note=note), f"Opening {path.name}")

    def _remember(self, case: Path, shown: Ms) -> None:
        """Remember the case for the start screen; the sample has its own place there."""
        if case.parent != sample_folder().resolve():
            recent, now = self._preferences.recent_cases, datetime.now()
            known = self.controller.case if self.controller is not None and self.path == case else None
            self._preferences.recent_cases = with_case(recent, case, now, shown, known)

    def _put_away(self, bench: Bench) -> None:
        bench.close_down()
        self.left.emit(bench)
        bench.deleteLater()

    def _close_session(self, controller: Controller) -> None:
        """A case that can't be saved is still in its journal; that is said, and the window closes all the same."""
        try:
            controller.close()
        except AnnotatorError as error:
            self.failed.emit(str(error))

    def _save_now(self) -> None:
        if self.controller is not None and not self.controller.session.read_only:
            self.controller.save_quietly()
