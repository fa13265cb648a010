"""The recordings of the open case as a list: put in another order, others added."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from annotator.desktop.preferences.cache_room import kept_folder
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.start.recordings_page import RecordingsPage
from annotator.desktop.widgets.question import ask
from annotator.desktop.workspace.bench import Bench
from annotator.model.arrangement import tags_lost
from annotator.model.edits import set_kind
from annotator.model.recording import Recording


class Arranging(QObject):
    """listed    the list should be seen
    arranged  the case has its recordings in another way now
    opened    paths of what is to be opened instead
    """

    listed = Signal()
    arranged = Signal()
    opened = Signal(object)

    def __init__(
        self, window: QWidget, preferences: Preferences, page: RecordingsPage, bench: Callable[[], Bench | None]
    ) -> None:
        super().__init__(window)
        self._window = window
        self._preferences = preferences
        self._page = page
        self._bench = bench
        page.put_in_order.connect(self._put_in_order)
        page.kind_of_case.connect(self._put_kind)

    def show(self) -> None:
        """Let the user put the recordings of the open case in order."""
        self._list_with(())

    def ask_where(self, recordings: Sequence[Path]) -> None:
        """Recordings were dropped on the open case: they may belong to it, or not."""
        bench = self._bench()
        if bench is None:
            return
        bench.controller.player.pause()
        is_one = len(recordings) == 1
        names = f"“{recordings[0].name}”" if is_one else f"these {len(recordings)} {_files_or_folders(recordings)}"
        answers = [
            (f"Open {'it' if is_one else 'them'}", partial(self.opened.emit, recordings)),
            ("Add to this case", partial(self._list_with, recordings)),
        ]
        asks = f"Open {names}, or add to this case?"
        ask(self._window, asks, "Opening closes this case; every change is saved.", answers)

    def _list_with(self, more: Sequence[Path]) -> None:
        bench = self._bench()
        if bench is not None:
            path = bench.controller.session.path
            self._page.begin_with_case(bench.entries, more, path, kept_folder(self._preferences))
            case = bench.controller.case
            self._page.show_kinds(case.vocabulary.kinds, case.kind)
            self.listed.emit()

    def _put_kind(self, kind: str) -> None:
        bench = self._bench()
        if bench is not None and kind != bench.controller.case.kind:
            bench.controller.do(partial(set_kind, kind=kind))

    def _put_in_order(self, recordings: Sequence[Recording]) -> None:
        bench = self._bench()
        lost = tags_lost(bench.controller.case, recordings) if bench is not None else ()
        if not lost:
            self._arrange(recordings)
            return
        counted = "1 tag is" if len(lost) == 1 else f"{len(lost)} tags are"
        asks = f"{counted} on the recordings you remove, at least in part. Remove the recordings and these tags?"
        answers = [("Remove both", partial(self._arrange, recordings))]
        ask(self._window, asks, "Undo brings both back while the case is open.", answers)

    def _arrange(self, recordings: Sequence[Recording]) -> None:
        bench = self._bench()
        if bench is not None and bench.controller.arrange(recordings):
            self.arranged.emit()


def _files_or_folders(paths: Sequence[Path]) -> str:
    folders = sum(path.is_dir() for path in paths)
    if not folders:
        return "files"
    return "folders" if folders == len(paths) else "files and folders"
