"""Thousands of random events over the real window: no exception, nothing on the disk that is not in the window, and
everything undone and done again.

More, or others:

    RANDOM_SEEDS=7,8 RANDOM_EVENTS=20000 pytest -s -o faulthandler_timeout=0 tests/desktop/test_random_events.py

A run that fails prints its seed and its last events; `-s` prints each before it is done, also one that ends the run.
"""

import os
from collections import deque
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.controls import end_typing
from annotator.desktop.window import Window
from annotator.formats.case import casefile
from annotator.model.case import Case
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import controller_of
from tests.desktop.random_events import drawn, perform

SEEDS = [int(seed) for seed in os.environ.get("RANDOM_SEEDS", "1,2").split(",")]
EVENTS = int(os.environ.get("RANDOM_EVENTS", "500"))
LOOKED_AT_EVERY = 100
SHOWN = 25
"""Last events that a failure prints."""


class Witness:
    """Knows which case is open, how it was when it was opened, and that the disk always has what the window has."""

    def __init__(self, window: Window) -> None:
        self._window = window
        self._session: Session | None = None
        self._first: Case | None = None
        # In the midst of an event, as the same event may change the case that has just come.
        window.openings.opened.connect(self.follow)
        self.follow()

    def follow(self, _opened: object = None) -> None:
        """See whether another case is open; the one before has to be on the disk as it was last in the window."""
        now = self._window.controller.session if self._window.controller else None
        if now is self._session:
            return
        if self._session is not None and not self._session.read_only:
            kept, _ = casefile.loads(self._session.path.read_bytes())
            assert kept == self._session.case, "what was closed is on the disk as it was in the window"
        self._session = now
        self._first = now.case if now else None

    def look(self) -> None:
        """What another would read now is what the window shows, and all of it can be undone and done again."""
        end_typing()
        self.follow()
        session, first = self._session, self._first
        if session is None or session.read_only:
            return
        controller, last = controller_of(self._window), session.case
        assert Session.open(session.path, writable=False).case == last
        steps = 0
        while session.can_undo:
            controller.undo()
            steps += 1
        assert session.case == first
        for _ in range(steps):
            controller.redo()
        assert session.case == last


@pytest.fixture
def quiet(monkeypatch: pytest.MonkeyPatch, recording: Path, tmp_path: Path) -> None:
    """Dialogs of the system are answered: with this recording, a new name, or not at all."""
    answers: dict[str, Callable[..., object]] = {
        "getOpenFileNames": lambda *_: ([str(recording)], ""),
        "getOpenFileName": lambda *_: ("", ""),
        "getSaveFileName": lambda *_, **_options: (str(tmp_path / "keys.html"), ""),
        "getExistingDirectory": lambda *_: str(tmp_path),
    }
    for name, answer in answers.items():
        monkeypatch.setattr(QFileDialog, name, answer)

    def open_nothing(_url: QUrl) -> bool:
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", open_nothing)


@pytest.mark.timeout(0 if "RANDOM_EVENTS" in os.environ else 180)
@pytest.mark.parametrize("seed", SEEDS)
def test_random_events(seed: int, window: Window, opened: Opener, recording: Path, quiet: None, qtbot: QtBot) -> None:
    opened(recording)
    witness, done = Witness(window), deque[str](maxlen=SHOWN)
    with qtbot.capture_exceptions() as caught:
        for number, event in enumerate(drawn(seed, EVENTS), 1):
            done.append(f"{number}: {event}")
            print(done[-1], flush=True)  # noqa: T201  # what leads to a fault has to be known
            perform(event, window)
            assert not caught, f"seed {seed}\n" + "\n".join(done)
            if not window.isVisible():  # it was quit
                window.show()
            witness.follow()
            if window.bench is None and not window.openings.is_used and number % 10 == 0:
                opened(recording)
            if number % LOOKED_AT_EVERY == 0:
                witness.look()
        QApplication.processEvents()
        assert not caught, f"seed {seed}\n" + "\n".join(done)
