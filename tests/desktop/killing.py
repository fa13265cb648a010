"""A window that is worked in until it is killed, forked from one process so that a round costs no start of Python.

    python -m tests.desktop.killing CASE

reads a seed from each line of its input and forks a child that opens the case in the real window and works: steps and
events by their keys, edges, notes typed, removing, undo and redo, saving, closing and opening again. The child writes a
line of JSON for what it found on opening, before each thing it does, and for each change that the window has told of.
"""

import json
import os
import random
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import msgspec
from PySide6.QtCore import QEventLoop, QSettings, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.typeface import load_typefaces
from annotator.desktop.widgets.form_text import FormText
from annotator.desktop.window import Window
from annotator.model.case import Case
from annotator.store.session import Change
from tests.desktop.driving import bench_of, controller_of

LONGEST = 2_000
"""Milliseconds that a frame is waited for; work goes on without it then."""


def plain_tags(case: Case) -> dict[str, Any]:
    """The tags by their id, as they come out of JSON."""
    return {tag.id: msgspec.to_builtins(tag) for tag in case.tags}


class Worker:
    """Does one thing after another in a window, as fast as it lets itself be worked."""

    def __init__(self, case: Path, dice: random.Random) -> None:
        self._path = case
        self._dice = dice
        self._app = QApplication([])
        load_typefaces()
        settings = QSettings(str(case.with_name("settings.ini")), QSettings.Format.IniFormat)
        self._window = Window(self._app, Theme(self._app, Choice.DARK), settings)
        self._window.resize(1280, 720)
        self._window.show()
        QTest.qWaitForWindowActive(self._window)

    def work(self) -> None:
        """Until killed."""
        self._open()
        vocabulary = controller_of(self._window).case.vocabulary
        keys = [concept.key for concept in vocabulary.concepts if concept.key]
        doing: dict[str, Callable[[], object]] = {
            "tag": lambda: self._press(self._dice.choice(keys)),
            "go on": lambda: self._press_and_see(self._dice.choice([".", "Shift+Right", "Up", "Home"])),
            "end": lambda: self._press("Escape"),
            "start here": lambda: self._press("["),
            "end here": lambda: self._press("]"),
            "later": lambda: self._press("Alt+Right"),
            "note": self._type_a_note,
            "remove": lambda: self._press("Delete"),
            "undo": lambda: self._press("Ctrl+Z"),
            "redo": lambda: self._press("Ctrl+Y"),
            "save": lambda: self._press("Ctrl+S"),
            "reopen": self._reopen,
        }
        often = {"tag": 8, "go on": 8, "note": 4, "undo": 3, "save": 3}
        weights = [often.get(what, 1) for what in doing]
        while True:
            what = self._dice.choices(list(doing), weights)[0]
            say(does=what)
            doing[what]()
            self._app.processEvents()

    def _open(self) -> None:
        self._see(lambda: self._window.open_paths([self._path]))
        controller = controller_of(self._window)
        controller.changed.connect(self._tell)
        session, notices = controller.session, bench_of(self._window).notices.texts
        found = plain_tags(controller.case)
        say(opened=found, read_only=session.read_only, recovered=session.recovered, notices=notices)

    def _reopen(self) -> None:
        self._window.close_case()
        self._open()

    def _tell(self, change: Change) -> None:
        say(says=self._window.status.said, has=plain_tags(change.after))

    def _press(self, key: str) -> None:
        QTest.keySequence(self._window, key)

    def _press_and_see(self, key: str) -> None:
        self._see(lambda: self._press(key))

    def _type_a_note(self) -> None:
        tags = controller_of(self._window).case.tags
        if not tags:
            return
        controller_of(self._window).select(self._dice.choice(tags).id)
        panel = bench_of(self._window).record_page.tag_panel
        note = next(iter(panel.findChildren(FormText)))
        note.setFocus()
        note.selectAll()
        QTest.keyClicks(note, f"note {self._dice.randrange(1000)}")
        QTest.keyClick(note, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
        bench_of(self._window).picture.setFocus()

    def _see(self, do: Callable[[], object]) -> None:
        """Do something and wait for the frame that it leads to."""
        loop = QEventLoop()
        self._window.player.shown.connect(loop.quit)
        QTimer.singleShot(LONGEST, loop.quit)
        do()
        loop.exec()
        self._window.player.shown.disconnect(loop.quit)


def say(**what: object) -> None:
    """In one write, so that a kill leaves no half of a line."""
    os.write(1, (json.dumps(what) + "\n").encode())


def main(case: Path) -> None:
    for line in sys.stdin:
        child = os.fork()
        if not child:
            Worker(case, random.Random(int(line))).work()
        say(child=child)
        _, status = os.waitpid(child, 0)
        say(ended=child, killed=os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
