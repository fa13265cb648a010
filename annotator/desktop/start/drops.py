"""Sorts what is dropped on the window by what can be done with it. Always copied: whoever moves a file deletes it."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QEvent, QMimeDatabase, QObject, Qt, Signal
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QWidget

from annotator.desktop.start.openings import CASES
from annotator.errors import listed
from annotator.model.recording import ENDINGS, OTHER_ENDINGS
from annotator.plain_text import quoted
from annotator.workflow.add_tags import CAPTIONS, TABLES

_NO_RECORDINGS = ("text/", "image/", "font/", "application/pdf", "application/msword", "application/vnd.")
"""Kinds of files, by how their names in the shared database of kinds begin (freedesktop.org, shared-mime-info)."""

_MOST_NAMED = 3
"""Files that a sentence names; the others it counts."""


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

    opened   paths to open, and what was left out, as a sentence
    listed   recordings for the list that is seen, and what was left out
    on_case  recordings that were dropped on a case that can be changed
    tagged   tables and captions that were dropped on such a case
    said     what was left out, and that it is a warning
    refused  why nothing comes of it
    held     whether something that would be used is held over the widget
    """

    opened = Signal(object, str)
    listed = Signal(object, str)
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
        if self._is_list_seen() and (found.recordings or (found.others and not found.cases)):
            return lambda: self.listed.emit(found.recordings, _left_out(found))
        if found.cases:
            return lambda: self.opened.emit(found.cases, _left_out(found))
        if found.recordings and self._is_case_seen():
            return lambda: self._take_on_case(found)
        if found.recordings:
            return lambda: self.opened.emit(found.recordings, _left_out(found))
        if found.texts and self._is_case_seen():
            return lambda: self.tagged.emit(found.texts)
        if found.others and not found.texts:
            return lambda: self.refused.emit(_why_not(found.others))
        return None

    def _take_on_case(self, found: Dropped) -> None:
        """Recordings first: with what becomes of them, the case may be another one."""
        self.on_case.emit(found.recordings)
        left_out = _left_out(found)
        if left_out:
            self.said.emit(left_out, True)


def _left_out(found: Dropped) -> str:
    """What is dropped beside recordings or a case and not used; captions of a recording's name are found anyway."""
    names = {one.with_suffix("") for one in found.recordings}
    texts = [one for one in found.texts if one.suffix.lower() not in CAPTIONS or one.with_suffix("") not in names]
    says = []
    if found.others:
        what = "is not a recording and was" if len(found.others) == 1 else "are not recordings and were"
        says.append(f"{_named(found.others)} {what} left out.")
    if texts:
        were, them = ("was", "it by itself") if len(texts) == 1 else ("were", "each by itself")
        says.append(f"{_named(texts)} {were} left out: to add tags from a file, drop {them} on the open case.")
    return " ".join(says)


def _named(files: Sequence[Path]) -> str:
    names, more = [one.name for one in files], len(files) - _MOST_NAMED
    return f"{', '.join(map(quoted, names[:_MOST_NAMED]))} and {more} more" if more > 0 else listed(names, "and")


def _why_not(others: Sequence[Path]) -> str:
    what = f"“{others[0].name}” is not" if len(others) == 1 else f"{len(others)} of the files are not"
    return f"{what} a recording, a case, a table or captions, and can't be used here."
