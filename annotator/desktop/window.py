"""The window: which page is shown, what is open, and which function carries out which action."""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from annotator.desktop.bench import Bench
from annotator.desktop.carrying_out import Function, by_bench
from annotator.desktop.command_set import CommandSet
from annotator.desktop.controller import Controller
from annotator.desktop.controls import end_typing
from annotator.desktop.finder import Finder
from annotator.desktop.focus import FocusWatch
from annotator.desktop.icons import Icon, icon
from annotator.desktop.kept_room import Room, kept_folder
from annotator.desktop.opening import Opened, open_case, open_recordings, open_sample, sample_case
from annotator.desktop.player import Player
from annotator.desktop.preferences import Preferences
from annotator.desktop.questions import Questions
from annotator.desktop.recent import shown_last, with_case
from annotator.desktop.settings_desk import SettingsDesk
from annotator.desktop.start_screen import LoadingPage, StartScreen
from annotator.desktop.state import State
from annotator.desktop.status_line import StatusLine
from annotator.desktop.theme import Theme
from annotator.desktop.work import Job, Work
from annotator.errors import AnnotatorError
from annotator.model.timecode import Ms
from annotator.progress import Progress

_SAVE_EVERY = 60_000
"""Milliseconds between two saves of the case file; each change is in the journal long before."""


class Window(QMainWindow):
    def __init__(self, app: QApplication, theme: Theme, settings: QSettings) -> None:
        super().__init__()
        self.theme = theme
        self.preferences = Preferences(settings)
        self._work: Work | None = None
        self._wanted: Callable[[], object] = self.close_case
        self.bench: Bench | None = None
        self.player = Player(self)
        self.commands = CommandSet(self, theme)
        self.finder = Finder(self, theme)
        self.questions = Questions(self, self.finder, self.commands, lambda: self.bench)
        self.questions.named.connect(self.open_paths)
        self._menu = self.commands.menu(self)
        self.start = StartScreen(self.commands.actions, theme, self.preferences)
        self.start.recent.chosen.connect(self._open_recent)
        self.loading = LoadingPage()
        self.loading.cancelled.connect(self._cancel)
        self.status = StatusLine(theme)
        self.status.hide()
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start)
        self._pages.addWidget(self.loading)
        self.settings = SettingsDesk(self.preferences, theme, self.commands, self)
        self._pages.addWidget(self.settings.page)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._pages, 1)
        column.addWidget(self.status)
        self.setCentralWidget(inside)
        self.setWindowTitle("Surgical step annotator")
        self.setAcceptDrops(True)
        self.setMinimumSize(960, 600)
        self.resize(QSize(1440, 900).boundedTo(self.screen().availableSize()))
        self.restoreGeometry(QByteArray.fromBase64(self.preferences.geometry.encode()))
        self._focus = FocusWatch(app, self)
        self._focus.changed.connect(self._use_focus)
        self._saver = QTimer(self, interval=_SAVE_EVERY)
        self._saver.timeout.connect(self._save_now)
        self._join()
        self._show_keys()
        self.start.show_fault(self.settings.faults)
        theme.changed.connect(self._paint_icons)
        self._paint_icons()

    # --- opening and closing ------------------------------------------------------------------------------------

    def open_paths(self, paths: Sequence[Path]) -> None:
        """Open what the user named: one case, or recordings of one operation in order."""
        kept_in = kept_folder(self.preferences)
        if len(paths) == 1 and paths[0].suffix.lower() in (".jsonld", ".json"):
            self.open(open_case(paths[0], kept_in), f"Opening {paths[0].name}")
        elif paths:
            self.open(open_recordings(paths, self.preferences.vocabulary, kept_in), f"Reading {paths[0].name}")
            self.loading.look.begin(paths[0])

    def open_sample(self) -> None:
        self.open(open_sample(kept_in=kept_folder(self.preferences)), "Opening the sample")

    def close_case(self) -> bool:
        """Save and put away what is open, with what is being typed; the start screen comes back.

        Where something can't be kept, the case stays open and that is on screen: False.
        """
        if not self._may_close(self.close_case):
            return False
        self._saver.stop()
        if self.bench is not None:
            self._remember(self.bench.controller.session.path, self.player.at)
        self.player.close()
        if self.bench is not None:
            self._put_away(self.bench)
            self._close_session(self.bench.controller)
            self.bench = None
        self.commands.use_vocabulary(None)
        self.commands.use_state(State())
        self.setWindowTitle("Surgical step annotator")
        self.status.hide()
        self._pages.setCurrentWidget(self.start)
        return True

    def _may_close(self, wanted: Callable[[], object]) -> bool:
        """Whether all of the open case is kept; if not, `wanted` is what to do once the user gives up the rest."""
        end_typing()
        if self.controller is None or self.controller.attempts.finish():
            return True
        self._wanted = wanted
        if self._pages.currentWidget() is not self.bench:
            self._close_settings()
        return False

    def _close_without(self) -> None:
        """Give up the changes that the disk does not take, and do what was wanted."""
        if self.controller is not None:
            self.controller.attempts.drop()
            self._wanted()

    def _put_away(self, bench: Bench) -> None:
        self.questions.put_away()
        bench.close_down()
        self._pages.removeWidget(bench)
        bench.deleteLater()

    def _close_session(self, controller: Controller) -> None:
        """A case that can't be saved is still in its journal; that is said, and the window closes all the same."""
        try:
            controller.close()
        except AnnotatorError as error:
            self.start.show_fault(str(error))

    @property
    def controller(self) -> Controller | None:
        return self.bench.controller if self.bench else None

    def open(self, job: Job, what: str) -> None:
        """Put away what is open, and open what the job brings, with its name and a bar in the meantime."""
        if not self._may_close(partial(self.open, job, what)):
            return
        self._cancel()
        self.start.show_fault("")
        self.close_case()
        self.loading.begin(what)
        self._pages.setCurrentWidget(self.loading)
        self._work = Work(job, self)
        self._work.progressed.connect(self.loading.show_progress)
        self._work.done.connect(self._take_opened)
        self._work.failed.connect(self._take_fault)
        self._work.cancelled.connect(self._back_to_start)
        self._work.start()

    def _take_opened(self, opened: Opened) -> None:
        self._work = None
        path = opened.session.path
        left_at = shown_last(self.preferences.recent_cases, path)
        self._show_bench(opened)
        if left_at:
            self.player.seek(left_at)
        self._remember(path, left_at)
        faults = self.settings.faults
        kept = "" if opened.session.read_only else "Every change is kept at once, and can be undone."
        self.status.say(faults or kept, bool(faults))

    def _remember(self, case: Path, shown: Ms) -> None:
        """For the first screen of the next time; the sample has its own place there."""
        if case != sample_case().resolve():
            self.preferences.recent_cases = with_case(self.preferences.recent_cases, case, datetime.now(), shown)

    def _open_recent(self, case: Path) -> None:
        self.open_paths([case])

    def _take_anew(self, opened: Opened) -> None:
        """Show the open case with other files, or with the right to change it, at the same place."""
        if self.bench is None:
            return
        before = self.bench.controller
        at, chosen = before.at, before.chosen
        self._put_away(self.bench)
        before.leave()
        if opened.session is not before.session:
            before.session.close()
        self._show_bench(opened)
        self.player.seek(at)
        self.bench.controller.choose(chosen.id if chosen else None)

    def _show_bench(self, opened: Opened) -> None:
        controller = Controller(opened.session, opened.frames, self.player)
        self.commands.use_vocabulary(controller.case.vocabulary)
        self.bench = Bench(
            opened,
            controller,
            self.commands.actions,
            self._menu,
            self.commands.keys,
            self.theme,
            self.preferences,
        )
        controller.setParent(self.bench)
        for makes in (self.bench.strips, self.bench.copies):
            makes.began.connect(self.status.works.add)
        self.bench.mending.began.connect(self.status.works.add)
        self.bench.mending.said.connect(self.status.say)
        self.bench.mending.opened.connect(self._take_anew)
        controller.said.connect(self.status.say)
        controller.changed.connect(self._use_state)
        controller.changed.connect(self._show_title)
        controller.chosen_changed.connect(self._use_state)
        controller.attempts.stuck.connect(self._use_state)
        controller.attempts.overtaken.connect(self._use_state)
        self.bench.versions.reopen.connect(self._reopen)
        self._pages.addWidget(self.bench)
        self._pages.setCurrentWidget(self.bench)
        self.status.show()
        self._show_title()
        self.player.open(controller.case, opened.frames, [one.path for one in opened.located])
        self._use_state()
        self._saver.start()
        self.bench.picture.setFocus()

    def _reopen(self, path: Path, note: str) -> None:
        """Open a case in place of the one that was open, with something to say of it."""
        job = open_case(path, kept_folder(self.preferences))

        def told(progress: Progress) -> Opened:
            opened: Opened = job(progress)
            return opened._replace(notes=(*opened.notes, note)) if note else opened

        self.open(told, f"Opening {path.name}")

    def _take_fault(self, error: object) -> None:
        self._work = None
        self.start.show_fault(str(error))
        self._pages.setCurrentWidget(self.start)

    def _back_to_start(self) -> None:
        self._work = None
        self._pages.setCurrentWidget(self.start)

    def _cancel(self) -> None:
        if self._work is not None:
            self._work.cancel()

    # --- carrying out actions ------------------------------------------------------------------------------------

    def _join(self) -> None:
        own: dict[str, Function] = {
            "open_recordings": self.questions.recordings,
            "open_case": self.questions.case,
            "open_sample": self.open_sample,
            "close_case": self.close_case,
            "quit": self.close,
            "toggle_play": self.player.toggle,
            "try_to_keep": self._try_to_keep,
            "close_without": self._close_without,
            "find_command": self.questions.command,
            "retag_chosen": self.questions.other_step,
            "carry_case": self.questions.other_vocabulary,
            "show_settings": self._show_settings,
            "full_screen": self._toggle_full_screen,
            "toggle_theme": self.settings.toggle_theme,
            "toggle_single_keys": self.settings.toggle_single_keys,
            "write_key_page": self.settings.write_key_page,
        }
        others = [does for does in self.commands.actions if does not in own]
        self._functions = own | by_bench(others, lambda: self.bench)
        self.commands.join(self._functions)
        self.commands.tagged.connect(self._tag)
        self.commands.keys_changed.connect(self._use_keys)
        self.player.playing_changed.connect(self._show_playing)
        self.settings.page.closed.connect(self._close_settings)
        self.settings.changed.connect(self._use_preference)
        self.settings.said.connect(self.status.say)

    def function_of(self, does: str) -> Function:
        """What carries out an action."""
        return self._functions[does]

    def _tag(self, concept: str) -> None:
        if self.bench is not None:
            self.bench.controller.tag(concept)
            self.bench.sheet.reveal(concept)

    def _try_to_keep(self) -> None:
        if self.controller is not None:
            self.controller.attempts.try_again()

    def _show_settings(self) -> None:
        self.player.pause()
        self.settings.refresh()
        self._pages.setCurrentWidget(self.settings.page)
        self._use_state()
        self.settings.page.take_focus()

    def _close_settings(self) -> None:
        self._pages.setCurrentWidget(self.bench or (self.loading if self._work else self.start))
        self._use_state()
        if self.bench is not None:
            self.bench.picture.setFocus()

    def _toggle_full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def _save_now(self) -> None:
        if self.controller is not None and not self.controller.session.read_only:
            self.controller.save_quietly()

    # --- following ------------------------------------------------------------------------------------------------

    def _use_state(self) -> None:
        """What is not on screen can't be changed by a key."""
        seen = self.bench is not None and self._pages.currentWidget() is self.bench
        self.commands.use_state(self.bench.state if self.bench is not None and seen else State())

    def _show_title(self) -> None:
        if self.controller is not None:
            self.setWindowTitle(f"{self.controller.case.title} – Surgical step annotator")

    def _use_preference(self, name: str) -> None:
        if name == "speeds" and self.bench is not None:
            self.bench.use_speeds(self.preferences.speeds)
        elif name in ("cache_folder", "cache_bytes") and self.bench is not None:
            self.bench.use_room(Room.of(self.preferences))
        elif name == "single_keys":
            self._show_keys()

    def _use_keys(self) -> None:
        if self.bench is not None:
            self.bench.use_keys(self.commands.keys)

    def _use_focus(self, typing: str, needed: frozenset[str]) -> None:
        self.commands.use_focus(bool(typing), needed)
        self.status.show_typing(typing)

    def _show_keys(self) -> None:
        self.status.show_keys_off(not self.commands.single_keys)

    def _show_playing(self, playing: bool) -> None:
        self.commands.actions["toggle_play"].setText("Pause" if playing else "Play")

    def _paint_icons(self) -> None:
        self._menu.menuAction().setIcon(icon(Icon.MENU, self.theme.colours))

    # --- Qt's own --------------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self._may_close(self.close):
            event.ignore()
            return
        self._cancel()
        if self._work is not None:
            self._work.wait()
        self.preferences.geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self.start.recent.close_down()
        self.close_case()
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        self.open_paths([Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()])
