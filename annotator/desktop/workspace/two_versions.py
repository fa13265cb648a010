"""What can be done where another program has changed the open case's file: nothing of either version is lost."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from annotator.desktop.editing.controller import Controller
from annotator.errors import AnnotatorError
from annotator.store.reading import CASE_ENDING
from annotator.store.recordings import carried
from annotator.store.session import Session


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
            kept = f"; the other version is kept as {copy.name}" if copy else ""
            self._controller.said.emit(f"Saved{kept}", False)

        self._try(keep)

    def use_other(self) -> None:
        """Go on with the other version, and keep this one in a copy."""

        def use() -> None:
            session = self._controller.session
            copy = session.give_way()
            self.reopen.emit(session.path, f"Your version of the case is kept as {copy.name}, beside this one.")

        self.closes.emit(partial(self._when_all_is_made, use))

    def save_elsewhere(self) -> None:
        """Keep this version under another name and go on with that."""
        self._controller.player.pause()
        session = self._controller.session
        name, _ = QFileDialog.getSaveFileName(
            self._window,
            "Save the case under another name",
            str(session.path),
            f"Cases (*{CASE_ENDING})",
            options=QFileDialog.Option.DontConfirmOverwrite,
        )
        path = Path(name if name.lower().endswith((".jsonld", ".json")) else f"{name}{CASE_ENDING}")

        def save() -> None:
            Session.create(path, carried(session.case, session.path, path)).close()
            session.let_go()
            self.reopen.emit(path, "")

        if name:
            self.closes.emit(partial(self._when_all_is_made, save))

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
