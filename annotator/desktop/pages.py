"""The pages of the window, of which one is seen: the case, what comes before it, and what lies over these."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from annotator.desktop.help.page import HelpPage, Subject
from annotator.desktop.playback.player import Player
from annotator.desktop.settings.controller import SettingsController
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.start.start_screen import LoadingPage, StartScreen
from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.widgets.full_page import FullPage
from annotator.desktop.workspace.bench import Bench

if TYPE_CHECKING:
    from annotator.desktop.library.page import LibraryPage


class Pages(QStackedWidget):
    """turned    another page is seen
    returned  settings, help or the library are left, and the case or the start screen should be seen again
    """

    turned = Signal()
    returned = Signal()

    def __init__(
        self,
        player: Player,
        start: StartScreen,
        loading: LoadingPage,
        recordings: RecordingsPage,
        settings: SettingsController,
        help_page: HelpPage,
    ) -> None:
        super().__init__()
        self._player = player
        self._start = start
        self._loading = loading
        self._recordings = recordings
        self._settings = settings
        self._help = help_page
        self._under: QWidget | None = None
        for page in (start, loading, recordings):
            self.addWidget(page)
        for over in (settings.page, help_page):
            self.add_over(over)

    def shows(self, page: QWidget | None) -> bool:
        """Whether a page is the one that is seen."""
        return page is not None and self.currentWidget() is page

    @property
    def shows_list(self) -> bool:
        """Whether the list of recordings is seen."""
        return self.shows(self._recordings)

    def show_page(self, page: QWidget) -> None:
        self.setCurrentWidget(page)
        self.turned.emit()

    def show_case(self, bench: Bench | None) -> None:
        """The open case, or the start screen where there is none."""
        self.show_page(bench or self._start)

    def show_loading(self) -> None:
        """Something is being opened: what is typed is kept, what plays stands still."""
        end_typing()
        self._player.pause()
        self._start.show_fault("")
        self.show_page(self._loading)

    def show_list(self) -> None:
        """Recordings should be put in order."""
        self._player.pause()
        self.show_page(self._recordings)
        self._recordings.take_focus()

    def show_settings(self) -> None:
        self._settings.refresh()
        self._show_over(self._settings.page)
        self._settings.page.take_focus()

    def show_help(self, subject: Subject) -> None:
        self._help.open(subject)
        self._show_over(self._help)
        self._help.take_focus()

    def add_over(self, page: FullPage) -> None:
        """Take one more page that is shown over what is seen."""
        self.addWidget(page)
        page.closed.connect(self._show_under)

    def show_library(self, library: "LibraryPage") -> None:
        self._show_over(library)
        library.take_focus()

    def _show_over(self, page: QWidget) -> None:
        """Show a page over what is seen now, or over what another such page was shown over."""
        self._player.pause()
        if not isinstance(self.currentWidget(), FullPage):
            self._under = self.currentWidget()
        self.show_page(page)

    def _show_under(self) -> None:
        if self._under is self._recordings:
            self.show_list()
        else:
            self.returned.emit()
