"""The result of publishing: the files by name, the notes on them, and buttons that open their folder."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from annotator.desktop.theme.tokens import UNIT
from annotator.desktop.widgets.controls import PushButton, label
from annotator.desktop.widgets.scroll import FittingScroll
from annotator.desktop.widgets.shortcut_menu import Choice, pop_up
from annotator.desktop.widgets.system import open_path

if TYPE_CHECKING:
    from annotator.publish.job import Published

_PAGE = "index.html"
_MOST_OFFERED = 10
"""Files that a menu offers to open."""

_MOST = 3
"""Failures that are told one by one; more would only say the same."""


class PublishOutcome(QWidget):
    """One block of text, one button or two."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._folder: Path | None = None
        self._shared: Path | None = None
        self._head = label("", "title")
        self._head.setWordWrap(True)
        self._files = _text()
        self._files.setAccessibleName("Published files")
        self._failures = _text("warning")
        self._notes = _text("second")
        self.show_folder = _button("Open folder")
        self.show_folder.clicked.connect(lambda: self._open(self._folder))
        self.open_page = _button("Open web page")
        self.open_page.clicked.connect(lambda: self._open(self._shared))
        self._written: tuple[Path, ...] = ()
        self._files.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self._files.customContextMenuRequested.connect(self._offer)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2 * UNIT)
        parts = (self._head, self._files, self._failures, self.open_page, self.show_folder, self._notes)
        for part in parts:
            column.addWidget(part)
        column.addStretch(1)
        scroll = FittingScroll(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scroll)
        whole.addStretch(1)

    def show_it(self, outcome: "Published") -> None:
        """Tell what was written, what was not, and why."""
        self._head.setText(_head_of(outcome))
        self._written = outcome.written
        self._folder = outcome.written[0].parent if outcome.written else None
        self._shared = next((path / _PAGE for path in outcome.written if (path / _PAGE).is_file()), None)
        self._put(self._files, [_named(path) for path in outcome.written])
        more = len(outcome.failures) - _MOST
        self._put(self._failures, [*outcome.failures[:_MOST], *([f"and {more} more"] if more > 0 else [])])
        self._put(self._notes, list(outcome.notes))
        self.show_folder.setVisible(self._folder is not None)
        self.open_page.setVisible(self._shared is not None)

    def _open(self, path: Path | None) -> None:
        if path is not None:
            open_path(path)

    def _offer(self, place: QPoint) -> None:
        """Each of the files, the folder they are in, and what was read of them as text."""
        copied = self._files.selectedText() or self._files.text()
        opens = [Choice(f"Open {path.name}", partial(self._open, path)) for path in self._written[:_MOST_OFFERED]]
        more = [Choice.of(self.show_folder), Choice("Copy", partial(QGuiApplication.clipboard().setText, copied))]
        pop_up(self._files, self._files.mapToGlobal(place), [*opens, None, *more])

    @property
    def headline(self) -> str:
        return self._head.text()

    def text(self) -> str:
        """All that it says."""
        parts = (self._head, self._files, self._failures, self._notes)
        return "\n".join(part.text() for part in parts if part.text())

    def _put(self, part: QLabel, lines: list[str]) -> None:
        part.setText("\n".join(lines))
        part.setVisible(bool(lines))


def _head_of(outcome: "Published") -> str:
    if outcome.stopped:
        return "Stopped. Finished before that:" if outcome.written else "Stopped. Nothing was published"
    if not outcome.written:
        return "Nothing was published"
    into = outcome.written[0].parent.name
    return f"Partly published to {into}" if outcome.failures else f"Published to {into}"


def _named(path: Path) -> str:
    """A folder with the number of files in it."""
    if not path.is_dir():
        return path.name
    count = sum(1 for _ in path.iterdir())
    return f"{path.name}: {'1 file' if count == 1 else f'{count} files'}"


def _text(kind: str = "") -> QLabel:
    made = label("", kind)
    made.setWordWrap(True)
    made.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return made


def _button(words: str) -> PushButton:
    made = PushButton(words)
    made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return made
