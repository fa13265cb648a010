"""The window: its parts joined, which function carries out which command, and what follows the open case."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QSettings, QSize, Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QAbstractButton, QApplication, QMainWindow, QVBoxLayout, QWidget

from annotator.desktop.commands.actions import State
from annotator.desktop.commands.command_set import CommandSet
from annotator.desktop.commands.palette import Palette
from annotator.desktop.dispatch import Function, functions_of
from annotator.desktop.editing.controller import Controller
from annotator.desktop.editing.opening import Opened
from annotator.desktop.help.page import HelpPage, Subject
from annotator.desktop.pages import Pages
from annotator.desktop.playback.player import Player
from annotator.desktop.preferences.cache_room import Room
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.questions import Questions
from annotator.desktop.settings.controller import SettingsController
from annotator.desktop.shown_case import ShownCase
from annotator.desktop.start.drops import DropTarget
from annotator.desktop.start.openings import Openings
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.start.start_screen import LoadingPage, StartScreen
from annotator.desktop.theme.app_icon import app_icon
from annotator.desktop.theme.icons import Icon, icon
from annotator.desktop.theme.theme import Theme
from annotator.desktop.widgets.focus import FocusWatch
from annotator.desktop.widgets.shortcut_menu import open_by_key
from annotator.desktop.widgets.system import open_path
from annotator.desktop.workspace.arranging import Arranging
from annotator.desktop.workspace.bench import Bench
from annotator.desktop.workspace.menus import Menus
from annotator.desktop.workspace.status_line import StatusLine
from annotator.model.timecode import Ms
from annotator.store.session import Change
from annotator.workflow.own_folders import log_file
from annotator.workflow.sample import HOLE

if TYPE_CHECKING:
    from annotator.desktop.library.page import LibraryPage

PROGRAM = "Surgical step annotator"


class Window(QMainWindow):
    def __init__(self, app: QApplication, theme: Theme, settings: QSettings) -> None:
        super().__init__()
        app.setWindowIcon(app_icon())
        app.setApplicationDisplayName(PROGRAM)
        self.theme = theme
        self.preferences = Preferences(settings)
        self.player = Player(self)
        self.commands = CommandSet(self, theme)
        self.command_palette = Palette(self, theme)
        self.questions = Questions(self, self.command_palette, self.commands, lambda: self.bench)
        self.questions.named.connect(self.open_paths)
        self._shown = ShownCase(self, self.player, self.preferences, self._make_bench)
        self._menu = self.commands.menu(self)
        self.start = StartScreen(self.commands.actions, theme, self.preferences)
        self.loading = LoadingPage()
        self.recordings = RecordingsPage(theme)
        self.openings = Openings(
            self,
            self.preferences,
            self.loading,
            self.recordings,
            lambda: self._shown.path,
            self.start.kind,
        )
        self.openings.opened.connect(self.start.kind.forget)
        self.arranging = Arranging(self, self.preferences, self.recordings, lambda: self.bench)
        self.status = StatusLine(theme)
        self.status.hide()
        self.settings = SettingsController(self.preferences, theme, self.commands, self)
        self.help = HelpPage(self.settings.key_rows, theme)
        self._library: LibraryPage | None = None
        self._pages = Pages(self.player, self.start, self.loading, self.recordings, self.settings, self.help)
        self._drops = DropTarget(self, lambda: self._pages.shows_list, self._is_case_seen)
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
        self._menu.aboutToHide.connect(self._leave_menu)
        self._functions = self._own_functions()
        self.commands.use_functions(self._functions)
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

    def _open_recent(self, case: Path) -> None:
        self.open_paths([case])

    def _open_at(self, case: Path, at: Ms) -> None:
        """Show a case at a time in it, also where it is open already."""
        self._shown.goes_to(case, at)
        if self._shown.path == case:
            self._pages.show_case(self.bench)
        else:
            self.open_paths([case])

    def close_case(self) -> bool:
        """Save and put away what is open, with what is being typed; the start screen comes back.

        Where something can't be kept, the case stays open and that is on screen: False.
        """
        return self._shown.close()

    def end(self) -> None:
        """Close without asking: whoever tells the program to end, as a shutdown does, gives no time for an answer."""
        self._shown.closing.give_up()
        self.close()

    @property
    def bench(self) -> Bench | None:
        return self._shown.bench

    @property
    def controller(self) -> Controller | None:
        return self._shown.controller

    def _take_opened(self, opened: Opened) -> None:
        if not self._shown.take(opened, partial(self.open_paths, [opened.session.path])):
            self._go_back()
        elif opened.is_new:
            faults = self.settings.faults
            kept = "" if opened.session.read_only else "Every change is saved at once and can be undone."
            self.status.say(faults or kept, bool(faults))

    def _make_bench(self, opened: Opened, controller: Controller) -> Bench:
        self.commands.use_vocabulary(controller.case.vocabulary)
        made = Bench(
            opened, controller, self.commands.actions, self._menu, self.commands.keys, self.theme, self.preferences
        )
        self._menus = Menus(made, self.commands)
        self._follow(made)
        return made

    def _follow(self, bench: Bench) -> None:
        """Let commands, status line and title follow an open case."""
        for makes in (bench.strips, bench.copies, bench.relink, bench.adding):
            makes.began.connect(self.status.tasks.add)
        bench.publish.hidden.connect(self.status.tasks.add)
        bench.publish.told.connect(self.status.tasks.leave_out)
        bench.panels.changed.connect(self._use_state)
        bench.picture.zoom_changed.connect(self._use_state)
        bench.relink.said.connect(self.status.say)
        bench.sheet.added.connect(self.questions.new_step)
        controller = bench.controller
        controller.said.connect(self.status.say)
        controller.changed.connect(self._use_state)
        controller.changed.connect(self._show_title)
        controller.changed.connect(self._use_terms)
        controller.selection_changed.connect(self._use_state)
        controller.selection_changed.connect(self.status.go_on)
        controller.retry.stuck.connect(self._use_state)
        controller.retry.stuck.connect(self._show_title)
        controller.retry.overtaken.connect(self._use_state)

    def _show_bench(self, bench: Bench) -> None:
        self.commands.use_functions({**self._functions, **functions_of(bench)})
        self._pages.addWidget(bench)
        self._pages.setCurrentWidget(bench)
        self.status.show()
        self._show_title()

    def _leave_bench(self, bench: Bench) -> None:
        self.questions.put_away()
        self._pages.removeWidget(bench)

    def _show_none(self) -> None:
        """No case is open."""
        self.commands.use_functions(self._functions)
        self.commands.use_vocabulary(None)
        self.commands.use_state(State())
        self._show_title()
        self.status.hide()
        self._pages.setCurrentWidget(self.start)

    def _go_back(self) -> None:
        """From a page over the case to the case, or to the start screen."""
        if self.openings.is_used:
            self._pages.show_page(self.loading)
        elif self.bench is not None and self.bench.goes_on_at is not None:
            if not self.close_case():
                self._shown.make_anew(self.bench.goes_on_at)
                return
        else:
            self._pages.show_case(self.bench)
        if self.bench is not None:
            self.bench.picture.setFocus()

    def _show_case(self) -> None:
        if self.bench is not None:
            self._pages.show_case(self.bench)

    def _show_fault(self, says: str) -> None:
        if self.bench is not None:
            self.bench.notices.add(Icon.WARNING, says, about="opening")
        else:
            self.start.show_fault(says)

    # --- carrying out actions ------------------------------------------------------------------------------------

    def _own_functions(self) -> dict[str, Function]:
        """The function of each command that needs no open case, by the command's id."""
        return {
            "open_recordings": self.questions.recordings,
            "open_case": self.questions.case,
            "open_sample": self.openings.open_sample,
            "open_second_sample": partial(self.openings.open_sample, HOLE),
            "show_recordings": self.arranging.show,
            "close_case": self.close_case,
            "quit": self.close,
            "close_without": self._shown.closing.close_without,
            "find_command": self.questions.command,
            "retag_chosen": self.questions.other_step,
            "carry_case": self.questions.other_vocabulary,
            "show_library": self._show_library,
            "show_settings": self._pages.show_settings,
            "show_guide": partial(self._pages.show_help, Subject.GUIDE),
            "show_keys": partial(self._pages.show_help, Subject.KEYS),
            "show_licences": partial(self._pages.show_help, Subject.LICENCES),
            "show_about": partial(self._pages.show_help, Subject.ABOUT),
            "show_log": self._show_log,
            "full_screen": self._toggle_full_screen,
            "open_menu": open_by_key,
            "toggle_theme": self.settings.toggle_theme,
            "toggle_single_keys": self.settings.toggle_single_keys,
            "write_key_page": self.settings.write_key_page,
        }

    def _join(self) -> None:
        self._shown.closing.kept_open.connect(self._show_case)
        self._shown.came.connect(self._show_bench)
        self._shown.left.connect(self._leave_bench)
        self._shown.shown.connect(self._use_state)
        self._shown.closed.connect(self._show_none)
        self._shown.failed.connect(self.start.show_fault)
        self._shown.wanted.connect(self.openings.run)
        self._pages.turned.connect(self._use_state)
        self._pages.returned.connect(self._go_back)
        self.start.recent.chosen.connect(self._open_recent)
        self.openings.began.connect(self._pages.show_loading)
        self.openings.listed.connect(self._pages.show_list)
        self.openings.ended.connect(self._go_back)
        self.openings.opened.connect(self._take_opened)
        self.openings.failed.connect(self._show_fault)
        self.arranging.listed.connect(self._pages.show_list)
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
        self.settings.changed.connect(self._use_preference)
        self.settings.said.connect(self.status.say)

    def _tag(self, concept: str) -> None:
        if self.bench is not None:
            self.bench.controller.tag(concept)
            self.bench.sheet.reveal(concept)

    @property
    def library(self) -> "LibraryPage":
        """Made when it is first wanted, as loading what it needs would keep every start waiting."""
        if self._library is None:
            from annotator.desktop.library.page import LibraryPage

            self._library = LibraryPage(self.theme, self.preferences, self._pages)
            self._library.went.connect(self._open_at)
            self._pages.add_over(self._library)
        return self._library

    def _show_library(self) -> None:
        self._pages.show_library(self.library)

    def _show_log(self) -> None:
        folder = log_file().parent
        if not open_path(folder):
            self.status.say(f"The log lies in {folder}; nothing here can show that folder", warns=True)

    def _toggle_full_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def _add_tags(self, texts: Sequence[Path]) -> None:
        if self.bench is not None:
            self.bench.adding.add_from(texts)

    # --- following ------------------------------------------------------------------------------------------------

    def _use_state(self) -> None:
        """What is not on screen can't be changed by a key."""
        self.commands.use_state(self.bench.state if self.bench is not None and self._is_seen else State())

    @property
    def _is_seen(self) -> bool:
        """Whether the open case is the page on screen."""
        return self._pages.shows(self.bench)

    def _is_case_seen(self) -> bool:
        """Whether a case is on screen that can be changed."""
        return self.bench is not None and self._is_seen and self.bench.state.writable

    def _show_title(self) -> None:
        """Title and file of the case; marked as platforms do where a change is not on the disk yet."""
        title, path, waits = PROGRAM, "", False
        if self.controller is not None:
            session = self.controller.session
            says = f"{self.controller.case.title} – {session.path.name}".replace("[*]", "[*][*]")  # Qt's own mark
            title, path, waits = f"{says}[*] – {PROGRAM}", str(session.path), self.controller.retry.waiting > 0
        self.setWindowTitle(title)
        self.setWindowFilePath(path)
        self.setWindowModified(waits)

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
        if self.bench is not None and self._is_seen:
            self.bench.picture.setFocus()

    def _show_keys(self) -> None:
        self.status.show_keys_off(not self.commands.single_keys)

    def _show_playing(self, playing: bool) -> None:
        action = self.commands.actions["toggle_play"]
        action.setText("Pause" if playing else "Play")
        action.setIcon(icon(Icon.PAUSE if playing else Icon.PLAY, self.theme.colours))

    def _paint_icons(self) -> None:
        self._show_playing(self.player.is_playing)
        self._menu.menuAction().setIcon(icon(Icon.MENU, self.theme.colours))

    # --- Qt's own --------------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self._shown.closing.may_close(self.close):
            event.ignore()
            return
        self.openings.close_down()
        if self._library is not None:
            self._library.close_down()
        self.preferences.geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        self.close_case()
        self.start.recent.close_down()  # last, as the start screen is back, and looks its cases up
        event.accept()

    def changeEvent(self, event: QEvent) -> None:
        """Whoever comes back from another program may have changed the case's file there."""
        if event.type() is QEvent.Type.ActivationChange and self.isActiveWindow() and self.controller is not None:
            self.controller.retry.look()
        super().changeEvent(event)
