"""The open case under another name; and what can be done where another program has changed its file.

Nothing of either version is lost.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.errors import AnnotatorError
from annotator.model.edits import new_id
from annotator.store.reading import CASE_ENDING
from annotator.store.recordings import carried
from annotator.store.session import Session
from annotator.store.ways_out import CASE, CASE_ENDINGS, WayOut


class TwoVersions(QObject):
    """closes  carries what closes the case, to be done once nothing is being written of it
    reopen  a case is to be opened in place of this one, which is closed; carries its path and what to say then
    """

    closes = Signal(object)
    reopen = Signal(object, str)

    def __init__(self, controller: Controller, parent: QWidget) -> None:
        super().__init__(parent)
        self._controller = controller
        self._window = parent

    def keep_mine(self) -> None:
        """Save over the other version, of which a copy is kept."""

        def keep() -> None:
            copy = self._controller.session.keep_mine()
            self._controller.retry.try_again()
            kept = f"; the other version is saved as {copy.name}" if copy else ""
            self._controller.said.emit(f"Saved{kept}", False)

        self._try(keep)

    def use_other(self) -> None:
        """Go on with the other version, and keep this one in a copy."""

        def use() -> None:
            session = self._controller.session
            copy = session.give_way()
            self.reopen.emit(session.path, f"Your version of the case is saved as {copy.name}, beside this one.")

        self.closes.emit(partial(self._when_all_is_made, use))

    def save_as(self) -> None:
        """Ask for another name, keep a copy there and go on with that; the case here stays as it is now.

        Where another program has changed this one's file, its version stays, and this one is in the copy alone.
        """
        self._controller.player.pause()
        session = self._controller.session
        name, _ = QFileDialog.getSaveFileName(
            self._window,
            "Save as",
            str(session.path.with_name(f"{session.path.name.removesuffix(CASE_ENDING)}-copy{CASE_ENDING}")),
            f"Cases (*{CASE_ENDING})",
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        if name:
            path = Path(name if name.lower().endswith(CASE_ENDINGS) else f"{name}{CASE_ENDING}")
            self.closes.emit(partial(self._when_all_is_made, partial(self._save_as, path)))

    def _save_as(self, path: Path) -> None:
        """Raises StoreError; the case is then still open."""
        session, note = self._controller.session, ""
        copy = replace(carried(session.case, session.path, path), id=new_id())
        WayOut(path, CASE).check()
        Session.create(path, copy).close()
        try:
            if self._controller.retry.is_overtaken:
                session.let_go()
            else:
                session.close()
        except AnnotatorError as error:  # its changes are beside it, and all of them in the copy
            note = str(error)
        self.reopen.emit(path, note)

    def _when_all_is_made(self, does: Callable[[], None]) -> None:
        """A version that lacks what waits for the disk is not what the user has made."""
        self._controller.retry.try_again()
        if not self._controller.retry.waiting:
            self._try(does)

    def _try(self, does: Callable[[], None]) -> None:
        try:
            does()
        except AnnotatorError as error:
            self._controller.said.emit(str(error), True)
