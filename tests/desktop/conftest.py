"""A real window on real recordings, without a screen and without a sound device."""

from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from typing import NamedTuple

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.publishing import jobs as publish_jobs
from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.typeface import load_typefaces
from annotator.desktop.window import Window
from annotator.progress import Progress
from annotator.publish.job import Published
from tests.desktop.films import film

# What Qt says of hardware that a machine without screen and sound has not; nothing the program could do about it.
NO_SUCH_HARDWARE = (
    "Couldn't (load|resolve) .*(library|symbols)",
    "PulseAudioService: pa_context_connect",
    "No audio device detected",
    "No RHI backend. Using CPU conversion",
    "This plugin does not support (propagateSizeHints|raise|grabbing)",
)

Opener = Callable[..., Window]
Again = Callable[[], Window]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.qt_log_ignore(*NO_SUCH_HARDWARE, extend=True))


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Caches, settings and the sample's case stay inside the test."""
    for name in ("XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "LOCALAPPDATA", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / name))


@pytest.fixture(scope="session")
def typefaces(qapp: QApplication) -> None:
    load_typefaces()


@pytest.fixture
def theme(qapp: QApplication, typefaces: None) -> Iterator[Theme]:
    # The windows of earlier tests wait to be deleted, and would be styled anew, which takes longer than a whole test.
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    made = Theme(qapp, Choice.DARK)
    yield made
    made.deleteLater()


@pytest.fixture
def window(qtbot: QtBot, qapp: QApplication, theme: Theme, tmp_path: Path) -> Iterator[Window]:
    """The window on its start screen."""
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    made = Window(qapp, theme, settings)
    made.resize(1280, 720)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.close()
    made.deleteLater()


@pytest.fixture
def again(qtbot: QtBot, qapp: QApplication, theme: Theme, tmp_path: Path, window: Window) -> Iterator[Again]:
    """Another window opened on the same settings, and the first one closed."""
    made: list[Window] = []

    def open_again() -> Window:
        settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        another = Window(qapp, theme, settings)
        made.append(another)
        another.show()
        window.close()
        another.activateWindow()
        qtbot.waitUntil(another.isActiveWindow)
        return another

    yield open_again
    for one in made:
        one.close()
        one.deleteLater()


@pytest.fixture
def opened(qtbot: QtBot, window: Window) -> Opener:
    """Opens paths in the window, several as one operation in their order by name, and waits for the first frame."""

    def is_asked_or_open() -> bool:
        return window.bench is not None or (window.recordings.isVisible() and window.recordings.use.isEnabled())

    def open_paths(*paths: Path) -> Window:
        with qtbot.waitSignal(window.player.shown, timeout=20_000):
            window.open_paths(list(paths))
            if len(paths) > 1:
                qtbot.waitUntil(is_asked_or_open, timeout=20_000)
                window.recordings.use.click()
        return window

    return open_paths


class Writing(NamedTuple):
    """A publication that lasts until it is let go, or stopped."""

    let_go: Event
    has_ended: Event


@pytest.fixture
def writing(monkeypatch: pytest.MonkeyPatch) -> Writing:
    made = Writing(Event(), Event())

    def publication(*_: object) -> Callable[[Progress], Published]:
        def job(progress: Progress) -> Published:
            try:
                while not made.let_go.wait(0.01):
                    progress(1, 3)
            finally:
                made.has_ended.set()
            return Published((), (), ("the disk is full",), stopped=False)

        return job

    monkeypatch.setattr(publish_jobs, "publication", publication)
    return made


@pytest.fixture(scope="session")
def films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("films")


@pytest.fixture(scope="session")
def ntsc(films: Path) -> Path:
    """30000/1001 frames a second, B-frames, one key frame in 60, with sound."""
    return film(films / "ntsc.mp4", 150, "30000/1001", "-bf", "3", "-g", "60", sound=True)


@pytest.fixture
def recording(ntsc: Path, tmp_path: Path) -> Path:
    """A copy of its own for a test that writes a case beside it."""
    copy = tmp_path / "model-eye.mp4"
    copy.write_bytes(ntsc.read_bytes())
    return copy
