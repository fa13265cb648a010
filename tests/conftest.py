"""For all tests: Qt draws without a screen, no test depends on how fast the machine is, and films are made once."""

import os
import signal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from annotator.media.cache import index_cache
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from tests.media.films import FILMS, Films, make
from tests.running import PATIENCE

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# Other examples each time: what some miss once, they find the next time, and a case takes long to draw.
settings.register_profile("any machine", deadline=None, max_examples=35)
settings.load_profile("any machine")

# Of whoever runs the tests in the background they are ignored, and every process that a test starts would inherit that.
for _one in (signal.SIGINT, *([signal.SIGHUP] if hasattr(signal, "SIGHUP") else [])):
    if signal.getsignal(_one) is signal.SIG_IGN:
        signal.signal(_one, signal.default_int_handler if _one is signal.SIGINT else signal.SIG_DFL)


def pytest_sessionfinish() -> None:
    """What was copied goes before Python does.

    Without a screen, Qt itself keeps what lies on the clipboard until the process has run its exit handlers, and a
    table that was copied belongs to Python, which by then is no more.
    """
    application = QGuiApplication.instance()
    if isinstance(application, QGuiApplication):
        application.clipboard().clear()


class PatientBot(QtBot):
    """Waits longer than a test asks for: what takes a moment takes long on a machine with much else to do."""

    def waitSignal(self, *what: Any, **how: Any) -> Any:
        return super().waitSignal(*what, **how | {"timeout": PATIENCE * 1_000})

    def waitSignals(self, *what: Any, **how: Any) -> Any:
        return super().waitSignals(*what, **how | {"timeout": PATIENCE * 1_000})

    def waitUntil(self, *what: Any, **how: Any) -> None:
        super().waitUntil(*what, **how | {"timeout": PATIENCE * 1_000})

    def waitExposed(self, *what: Any, **how: Any) -> Any:
        return super().waitExposed(*what, **how | {"timeout": PATIENCE * 1_000})


@pytest.fixture
def qtbot(qapp: object, request: pytest.FixtureRequest) -> QtBot:
    return PatientBot(request)


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Films:
    """The path of a film by its name in `FILMS`; made once a run, and only if a test asks for it."""
    folder = tmp_path_factory.mktemp("films")

    def made(name: str) -> Path:
        path = folder / name
        if not path.exists():
            recipe = FILMS[name]
            make(recipe, path, made(recipe.of) if recipe.of else None)
        return path

    return made


@pytest.fixture
def frames_read(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """The recordings whose frames were read from their files, each time that they were."""
    found: list[Path] = []

    def reading(path: Path, *rest: Any) -> FrameIndex:
        found.append(path)
        return read_index(path, *rest)

    monkeypatch.setattr(index_cache, "read_index", reading)
    return found
