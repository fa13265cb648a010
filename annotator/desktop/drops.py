"""What is dropped on the window, sorted by what can become of it. Always copied: whoever moves a file deletes it."""

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QDropEvent

from annotator.desktop.openings import CASES
from annotator.workflow.add_tags import CAPTIONS, TABLES


class Dropped(NamedTuple):
    """Local files and folders: case files; tables and captions with tags; everything else, which may be recordings."""

    cases: tuple[Path, ...]
    texts: tuple[Path, ...]
    recordings: tuple[Path, ...]


def dropped(event: QDropEvent) -> Dropped:
    """What an event brings, by the endings of the names alone; nothing where the source would have it moved."""
    if not event.possibleActions() & Qt.DropAction.CopyAction:
        return Dropped((), (), ())
    paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
    cases = tuple(path for path in paths if path.suffix.lower() in CASES)
    texts = tuple(path for path in paths if path.suffix.lower() in TABLES | CAPTIONS)
    return Dropped(cases, texts, tuple(path for path in paths if path not in (*cases, *texts)))


def take_as_copy(event: QDropEvent) -> None:
    """Tell the source that it keeps what it gave, whatever it proposed."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()
