"""The window: which page is shown, what is open, and which function carries out which command."""

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from annotator.desktop.commands.actions import State
from annotator.desktop.commands.command_set import CommandSet
from annotator.desktop.commands.palette import Palette
from annotator.desktop.dispatch import Function, functions_of
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.opening import Opened, look_again, open_case, sample_folder
from annotator.desktop.help.page import HelpPage, Subject
from annotator.desktop.playback.player import Player
from annotator.desktop.preferences.cache_room import Room, kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.preferences.recent import shown_last, with_case
from annotator.desktop.questions import Questions
from annotator.desktop.settings.controller import SettingsController
from annotator.desktop.start.drops import DropTarget
from annotator.desktop.start.openings import Openings
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.start.start_screen import LoadingPage, StartScreen
from annotator.desktop.theme.app_icon import app_icon
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.widgets.focus import FocusWatch
from annotator.desktop.widgets.shortcut_menu import open_by_key
from annotator.desktop.widgets.system import open_path
from annotator.desktop.workspace.arranging import Arranging
from annotator.desktop.workspace.bench import Bench
from annotator.desktop.workspace.closing import Closing
from annotator.desktop.workspace.menus import Menus
from annotator.desktop.workspace.status_line import StatusLine
from annotator.errors import AnnotatorError
from annotator.model.timecode import Ms
from annotator.store.session import Change
from annotator.workflow.own_folders import log_file

PROGRAM = "Surgical step annotator"

_SAVE_EVERY = 60_000
"""Milliseconds between two saves of the case file; each change is in the journal long before."""


class Window(QMainWindow):
    def __init__(self, app: QApplication, theme: Theme, settings: QSettings) -> None:
        super().__init__()
        app.setWindowIcon(app_icon())
        app.setApplicationDisplayName(PROGRAM)
        self.theme = theme
        self.preferences = Preferences(settings)
        self._under: QWidget | None = None
        self.bench: Bench | None = None
        self.player = Player(self)
        self.commands = CommandSet(self, theme)
        self.command_palette = Palette(self, theme)
        self.questions = Questions(self, self.command_palette, self.commands, lambda: self.bench)
        self.questions.named.connect(self.open_paths)
        self.closing = Closing(self, lambda: self.bench, self.close_case)
        self._menu = self.commands.menu(self)
        self.start = StartScreen(self.commands.actions, theme, self.preferences)
        self.start.recent.chosen.connect(self._open_recent)
        self.loading = LoadingPage()
        self.recordings = RecordingsPage(theme)
        self.openings = Openings(self, self.preferences, self.loading, self.recordings, lambda: self.shown_case)
        self.arranging = Arranging(self, self.preferences, self.recordings, lambda: self.bench)
        self._drops = DropTarget(self, lambda: self._pages.currentWidget() is self.recordings, self._is_case_seen)
        self.status = StatusLine(theme)
        self.status.hide()
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start)
        self._pages.addWidget(self.loading)
        self._pages.addWidget(self.recordings)
        self.settings = SettingsController(self.preferences, theme, self.commands, self)
        self._pages.addWidget(self.settings.page)
        self.help = HelpPage(self.settings.key_rows, theme)
        self._pages.addWidget(self.help)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._pages, 1)
        column.addWidget(self.status)
        self.setCentralWidget(inside)
        self.setWindowTitle(PROGRAM)
        self.setMinimumSize(960, 460)  # what a screen of 1920x1080 has left at 200 %
        self.resize(QSize(1440, 900).boundedTo(self.screen().availableSize()))
        self.restoreGeometry(QByteArray.fromBase64(self.preferences.geometry.encode()))
        self._focus = FocusWatch(app, self)
        self._focus.changed.connect(self._use_focus)
        self._focus.lost.connect(self._take_keys)
        self._saver = QTimer(self, interval=_SAVE_EVERY)
        self._saver.timeout.connect(self._save_now)
        self._menu.aboutToHide.connect(self._leave_menu)
        self._join()
        self._show_keys()
        self.start.show_fault(self.settings.faults)
        theme.changed.connect(self._paint_icons)
        self._paint_icons()
        theme.dress(self)

    # --- opening and closing ------------------------------------------------------------------------------------

    def open_paths(self, paths: Sequence[Path], left_out: str = "") -> None:
        """Open what the user named: one case, or recordings of one operation, or folders of them; then say what of it
        was left out.
        """
        self.openings.open_paths(paths, left_out)

    def open_sample(self) -> None:
        self.openings.open_sample()

    def close_case(self) -> bool:
        """Save and put away what is open, with what is being typed; the start screen comes back.

        Where something can't be kept, the case stays open and that is on screen: False.
        """
        if not self.closing.may_close(self.close_case):
            return False
        self._saver.stop()
        if self.bench is not None:
            self._remember(self.bench.controller.session.path, self.player.at)
        self.player.close()
        if self.bench is not None:
            self._put_away(self.bench)
            self._close_session(self.bench.controller)
            self.bench = None
        self.commands.use_functions(self._functions)
        self.commands.use_vocabulary(None)
        self.commands.use_state(State())
        self.setWindowModified(False)
        self.setWindowFilePath("")
        self.setWindowTitle(PROGRAM)
        self.status.hide()
        self._pages.setCurrentWidget(self.start)
        return True

    def end(self) -> None:
        """Close without asking: whoever tells the program to end, as a shutdown does, gives no time for an answer."""
        self.closing.give_up()
        self.close()

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
    def shown_case(self) -> Path | None:
        """Where the open case is kept."""
        return self.bench.controller.session.path if self.bench else None

    @property
    def controller(self) -> Controller | None:
        return self.bench.controller if self.bench else None

    def _take_opened(self, opened: Opened) -> None:
        """Show what was opened, in the place of what was open before."""
        if not opened.is_new:
            self._take_anew(opened)
            return
        path = opened.session.path
        if not self.closing.may_close(partial(self.open_paths, [path])):
            opened.session.close()
            self._go_back()
            return
        self.close_case()
        left_at = shown_last(self.preferences.recent_cases, path)
        self._show_bench(opened)
        if left_at:
            self.player.seek(left_at)
        self._remember(path, left_at)
        faults = self.settings.faults
        kept = "" if opened.session.read_only else "Every change is saved at once and can be undone."
        self.status.say(faults or kept, bool(faults))

    def _remember(self, case: Path, shown: Ms) -> None:
        """Remember the case for the start screen; the sample has its own place there."""
        if case.parent != sample_folder().resolve():
            recent, now = self.preferences.recent_cases, datetime.now()
            is_open = self.controller is not None and self.shown_case == case
            known = self.controller.case if self.controller is not None and is_open else None
            self.preferences.recent_cases = with_case(recent, case, now, shown, known)

    def _open_recent(self, case: Path) -> None:
        self.open_paths([case])

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
        self._show_bench(opened)
        before.setParent(self.bench)  # what waits for the disk still tells through it
        self.bench.controller.retry.take_over(before.retry)
        if writing is not None:
            self.bench.publish.go_on(writing)
        self.player.seek(min(at, opened.session.case.duration))
        self.bench.controller.select(chosen.id if chosen else None)

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
        self._menus = Menus(self.bench, self.commands)
        self.commands.use_functions({**self._functions, **functions_of(self.bench)})
        for makes in (self.bench.strips, self.bench.copies):
            makes.began.connect(self.status.tasks.add)
        for part in (self.bench.relink, self.bench.adding):
            part.began.connect(self.status.tasks.add)
        self.bench.publish.hidden.connect(self.status.tasks.add)
        self.bench.publish.told.connect(self.status.tasks.leave_out)
        self.bench.panels.changed.connect(self._use_state)
        self.bench.picture.zoom_changed.connect(self._use_state)
        self.bench.relink.said.connect(self.status.say)
        self.bench.relink.opened.connect(self._take_anew)
        controller.said.connect(self.status.say)
        controller.changed.connect(self._use_state)
        controller.changed.connect(self._show_title)
        controller.changed.connect(self._use_terms)
        self.bench.sheet.added.connect(self.questions.new_step)
        controller.rearranged.connect(self._make_anew)
        controller.selection_changed.connect(self._use_state)
        controller.selection_changed.connect(self.status.go_on)
        controller.retry.stuck.connect(self._use_state)
        controller.retry.stuck.connect(self._show_title)
        controller.retry.overtaken.connect(self._use_state)
        self.bench.versions.closes.connect(self.closing.when_written)
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
        """Open a case in place of the one that was open, at the same time, with something to say of it."""
        at = self.player.at
        if self.close_case():
            self._remember(path, at)
            self.openings.run(open_case(path, kept_folder(self.preferences), note=note), f"Opening {path.name}")

    def _show_loading(self) -> None:
        end_typing()
        self.player.pause()
        self.start.show_fault("")
        self._show_page(self.loading)

    def _show_list(self) -> None:
        self.player.pause()
        self._show_page(self.recordings)
        self.recordings.take_focus()

    def _make_anew(self, at: Ms) -> None:
        """The recordings are others now: nothing that is shown of them fits any more. It goes on at a case time."""
        if self.bench is not None:
            self.bench.goes_on_at = at
            self.player.close()
            session = self.bench.controller.session
            self.openings.run(look_again(session, "", kept_folder(self.preferences)), "Reading the recordings")

    def _go_back(self) -> None:
        """From a page over the case to the case, or to the start screen."""
        if self.openings.is_used:
            self._show_page(self.loading)
        elif self.bench is not None and self.bench.goes_on_at is not None:
            if not self.close_case():
                self._make_anew(self.bench.goes_on_at)
                return
        else:
            self._show_page(self.bench or self.start)
        if self.bench is not None:
            self.bench.picture.setFocus()

    def _show_case(self) -> None:
        if self.bench is not None:
            self._show_page(self.bench)

    def _show_page(self, page: QWidget) -> None:
        self._pages.setCurrentWidget(page)
        self._use_state()

    def _show_fault(self, says: str) -> None:
        if self.bench is not None:
            self.bench.notices.add(Icon.WARNING, says, about="opening")
        else:
            self.start.show_fault(says)

    # --- carrying out actions ------------------------------------------------------------------------------------

    def _join(self) -> None:
        self._functions: dict[str, Function] = {
            "open_recordings": self.questions.recordings,
            "open_case": self.questions.case,
            "open_sample": self.open_sample,
            "show_recordings": self.arranging.show,
            "close_case": self.close_case,
            "quit": self.close,
            "close_without": self.closing.close_without,
            "find_command": self.questions.command,
            "retag_chosen": self.questions.other_step,
            "carry_case": self.questions.other_vocabulary,
            "show_settings": self._show_settings,
            "show_guide": partial(self._show_help, Subject.GUIDE),
            "show_keys": partial(self._show_help, Subject.KEYS),
            "show_licences": partial(self._show_help, Subject.LICENCES),
            "show_about": partial(self._show_help, Subject.ABOUT),
            "show_log": self._show_log,
            "full_screen": self._toggle_full_screen,
            "open_menu": open_by_key,
            "toggle_theme": self.settings.toggle_theme,
            "toggle_single_keys": self.settings.toggle_single_keys,
            "write_key_page": self.settings.write_key_page,
        }
        self.commands.use_functions(self._functions)
        self.closing.kept_open.connect(self._show_case)
        self.openings.began.connect(self._show_loading)
        self.openings.listed.connect(self._show_list)
        self.openings.ended.connect(self._go_back)
        self.openings.opened.connect(self._take_opened)
        self.openings.failed.connect(self._show_fault)
        self.arranging.listed.connect(self._show_list)
        self.arranging.arranged.connect(self._go_back)
        self.arranging.opened.connect(self.open_paths)
        self._drops.opened.connect(self.open_paths)
        self._drops.listed.connect(self.recordings.add)
        self._drops.on_case.connect(self.arranging.ask_where)
        self._drops.tagged.connect(self._add_tags)
        self._drops.said.connect(self.status.say)
        self._drops.refused.connect(self._show_fault)
        self._drops.held.connect(self.start.show_drop)
        self.commands.tagged.connect(self._tag)
        self.commands.keys_changed.connect(self._use_keys)
        self.player.playing_changed.connect(self._show_playing)
        self.player.playing_changed.connect(self.status.go_on)
        self.settings.page.closed.connect(self._show_under)
        self.help.closed.connect(self._show_under)
        self.settings.changed.connect(self._use_preference)
        self.settings.said.connect(self.status.say)

    def _tag(self, concept: str) -> None:
        if self.bench is not None:
            self.bench.controller.tag(concept)
            self.bench.sheet.reveal(concept)

    def _show_settings(self) -> None:
        self.settings.refresh()
        self._show_over(self.settings.page)
        self.settings.page.take_focus()

    def _show_help(self, subject: Subject) -> None:
        self.help.open(subject)
        self._show_over(self.help)
        self.help.take_focus()

    def _show_log(self) -> None:
        folder = log_file().parent
        if not open_path(folder):
            self.status.say(f"The log lies in {folder}; nothing here can show that folder", warns=True)

    def _show_over(self, page: QWidget) -> None:
        """Show settings or help, over what is seen now, or over what the other of them was shown over."""
        self.player.pause()
        if self._pages.currentWidget() not in (self.settings.page, self.help):
            self._under = self._pages.currentWidget()
        self._show_page(page)

    def _show_under(self) -> None:
        if self._under is self.recordings:
            self._show_list()
        else:
            self._go_back()

    def _toggle_full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def _save_now(self) -> None:
        if self.controller is not None and not self.controller.session.read_only:
            self.controller.save_quietly()

    def _add_tags(self, texts: Sequence[Path]) -> None:
        if self.bench is not None:
            self.bench.adding.add_from(texts)

    # --- following ------------------------------------------------------------------------------------------------

    def _use_state(self) -> None:
        """What is not on screen can't be changed by a key."""
        seen = self.bench is not None and self._pages.currentWidget() is self.bench
        self.commands.use_state(self.bench.state if self.bench is not None and seen else State())

    def _is_case_seen(self) -> bool:
        """Whether a case is on screen that can be changed."""
        return self.bench is not None and self._pages.currentWidget() is self.bench and self.bench.state.writable

    def _show_title(self) -> None:
        """Title and file of the case; marked as platforms do where a change is not on the disk yet."""
        if self.controller is None:
            return
        session = self.controller.session
        says = f"{self.controller.case.title} – {session.path.name}".replace("[*]", "[*][*]")  # Qt's own mark
        self.setWindowTitle(f"{says}[*] – {PROGRAM}")
        self.setWindowFilePath(str(session.path))
        self.setWindowModified(self.controller.retry.waiting > 0)

    def _use_preference(self, name: str) -> None:
        if name == "speeds" and self.bench is not None:
            self.bench.use_speeds(self.preferences.speeds)
        elif name in ("cache_folder", "cache_bytes") and self.bench is not None:
            self.bench.use_room(Room.of(self.preferences))
        elif name == "single_keys":
            self._show_keys()

    def _use_terms(self, change: Change) -> None:
        """The case has other terms: they have commands, keys and rows."""
        if change.before.vocabulary is not change.after.vocabulary:
            self.commands.use_vocabulary(change.after.vocabulary)

    def _use_keys(self) -> None:
        if self.bench is not None:
            self.bench.use_keys(self.commands.keys)

    def _use_focus(self, typing: str, taken_by: str, needed: frozenset[str]) -> None:
        self.commands.use_focus(bool(typing), needed)
        self.status.show_typing(typing, taken_by)

    def _leave_menu(self) -> None:
        """Who opened the menu by its button goes on with the picture: Space plays, and opens no menu again."""
        if isinstance(self.focusWidget(), QAbstractButton):
            self._take_keys()

    def _take_keys(self) -> None:
        """Where nothing has the focus, Qt would give it to the first button as soon as somebody comes back to the
        window, and Space would press that.
        """
        if self.bench is not None and self._pages.currentWidget() is self.bench:
            self.bench.picture.setFocus()

    def _show_keys(self) -> None:
        self.status.show_keys_off(not self.commands.single_keys)

    def _show_playing(self, playing: bool) -> None:
        self.commands.actions["toggle_play"].setText("Pause" if playing else "Play")

    def _paint_icons(self) -> None:
        self._menu.menuAction().setIcon(icon(Icon.MENU, self.theme.colours))

    # --- Qt's own --------------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.closing.may_close(self.close):
            event.ignore()
            return
        self.openings.close_down()
        self.preferences.geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self.close_case()
        self.start.recent.close_down()  # last, as the start screen is back, and looks its cases up
        event.accept()

    def changeEvent(self, event: QEvent) -> None:
        """Whoever comes back from another program may have changed the case's file there."""
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow() and self.controller is not None:
            self.controller.retry.look()
        super().changeEvent(event)
