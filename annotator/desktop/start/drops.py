"""Sorts what is dropped on the window by what can be done with it. Always copied: whoever moves a file deletes it."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QEvent, QMimeDatabase, QObject, Qt, Signal
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QWidget

from annotator.desktop.start.openings import CASES
from annotator.model.recording import ENDINGS, OTHER_ENDINGS
from annotator.workflow.add_tags import CAPTIONS, TABLES

_NO_RECORDINGS = ("text/", "image/", "font/", "application/pdf", "application/msword", "application/vnd.")
"""Kinds of files, by how their names in the shared database of kinds begin (freedesktop.org, shared-mime-info)."""


class Dropped(NamedTuple):
    """Local files and folders: case files; tables and captions with tags; what may be recordings; and what is of no
    use, such as a document.
    """

    cases: tuple[Path, ...] = ()
    texts: tuple[Path, ...] = ()
    recordings: tuple[Path, ...] = ()
    others: tuple[Path, ...] = ()


def dropped(event: QDropEvent) -> Dropped:
    """What an event brings, by the endings of the names alone; nothing where the source would have it moved."""
    if not event.possibleActions() & Qt.DropAction.CopyAction:
        return Dropped()
    paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
    cases = tuple(path for path in paths if path.suffix.lower() in CASES)
    texts = tuple(path for path in paths if path.suffix.lower() in TABLES | CAPTIONS)
    left = [path for path in paths if path not in (*cases, *texts)]
    recordings = tuple(path for path in left if _may_be_a_recording(path))
    return Dropped(cases, texts, recordings, tuple(path for path in left if path not in recordings))


def _may_be_a_recording(path: Path) -> bool:
    """By its name: what is known to be something else is none, what is not known may be one."""
    if path.suffix.lower() in (*ENDINGS, *OTHER_ENDINGS):
        return True
    known = QMimeDatabase().mimeTypeForFile(path.name, QMimeDatabase.MatchMode.MatchExtension)
    return not (known.name().startswith(_NO_RECORDINGS) or known.inherits("application/zip"))


def take_as_copy(event: QDropEvent) -> None:
    """Tell the source that it keeps what it gave, whatever it proposed."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()


class DropTarget(QObject):
    """Takes what is dropped on a widget, where it will be used.

    opened   paths to open
    listed   recordings for the list that is seen
    on_case  recordings that were dropped on a case that can be changed
    tagged   tables and captions that were dropped on such a case
    said     what was left out, and that it is a warning
    refused  why nothing comes of it
    held     whether something that would be used is held over the widget
    """

    opened = Signal(object)
    listed = Signal(object)
    on_case = Signal(object)
    tagged = Signal(object)
    said = Signal(str, bool)
    refused = Signal(str)
    held = Signal(bool)

    def __init__(self, widget: QWidget, is_list_seen: Callable[[], bool], is_case_seen: Callable[[], bool]) -> None:
        super().__init__(widget)
        self._is_list_seen = is_list_seen
        self._is_case_seen = is_case_seen
        widget.setAcceptDrops(True)
        widget.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        if event.type() is QEvent.Type.DragLeave:
            self.held.emit(False)
        # A drop is a QDropEvent, and so are what comes before it: entering and moving.
        if not isinstance(event, QDropEvent):
            return False
        found = dropped(event)
        use = self._use_of(found)
        if use is None:
            event.ignore()
        else:
            take_as_copy(event)
            self.held.emit(event.type() is not QEvent.Type.Drop)
            if event.type() is QEvent.Type.Drop:
                use()
        return True

    def _use_of(self, found: Dropped) -> Callable[[], None] | None:
        """What becomes of it; None where nothing does."""
        if self._is_list_seen() and found.recordings:
            return lambda: self.listed.emit(found.recordings)
        if found.cases:
            return lambda: self.opened.emit(found.cases)
        if found.recordings and self._is_case_seen():
            return lambda: self._take_on_case(found)
        if found.recordings:
            return lambda: self.opened.emit(found.recordings)
        if found.texts and self._is_case_seen():
            return lambda: self.tagged.emit(found.texts)
        if found.others and not found.texts:
            return lambda: self.refused.emit(_why_not(found.others))
        return None

    def _take_on_case(self, found: Dropped) -> None:
        """Recordings first: with what becomes of them, the case may be another one."""
        self.on_case.emit(found.recordings)
        if found.texts:
            names = f"“{found.texts[0].name}”" if len(found.texts) == 1 else f"{len(found.texts)} tables or captions"
            self.said.emit(f"{names} left out: drop what holds tags by itself", True)
        elif found.others:
            self.said.emit(_why_not(found.others), True)


def _why_not(others: Sequence[Path]) -> str:
    what = f"“{others[0].name}” is not" if len(others) == 1 else f"{len(others)} of the files are not"
    return f"{what} a recording, a case, a table or captions, and can't be used here."
