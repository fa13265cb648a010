"""The window on a stage: opened in a folder of its own, driven, and waited for, to be pictured."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from PySide6.QtCore import QEventLoop, QSettings, QSize, QTimer, SignalInstance
from PySide6.QtWidgets import QApplication

from annotator.desktop.editing.opening import open_sample
from annotator.desktop.preferences.preferences import Preferences
from annotator.desktop.theme.theme import Theme
from annotator.desktop.window import Window
from annotator.workflow.sample import MEMBRANES

_LONGEST = 120_000
"""Milliseconds after which something is wrong; only then is the clock waited for."""


class Stage(NamedTuple):
    """The window to be pictured, and a folder for cases made on the way."""

    window: Window
    folder: Path

    def open_sample(self, at: float = 0.62) -> None:
        """The sample with its tags, at a share of its length."""
        with until(self.window.player.shown):
            self.window.openings.run(open_sample(folder=self.folder), "Opening the sample")
        self.seek(at)

    def open_copy(self) -> Path:
        """A copy of the sample recording with a case that has no tags."""
        copy = self.folder / "new-recording.mp4"
        shutil.copy(MEMBRANES.home / MEMBRANES.recording, copy)
        with until(self.window.player.shown):
            self.window.open_paths([copy])
        return copy

    def wait_for_making(self) -> None:
        """Until strips and copies are there and the picture is the recording's own: the same each time."""
        for makes in (self.window.bench.strips, self.window.bench.copies) if self.window.bench else ():
            if not makes.is_done:
                with until(makes.done):
                    pass
        wait_for(lambda: self.window.player.is_sharp)

    def seek(self, share: float) -> None:
        controller = self.window.controller
        if controller is not None:
            with until(self.window.player.shown):
                self.window.player.seek(round(share * controller.case.duration))


def wait_for(is_so: Callable[[], bool]) -> None:
    """Until something is so that no signal tells of."""
    loop, looks = QEventLoop(), QTimer(interval=20)
    looks.timeout.connect(lambda: loop.quit() if is_so() else None)
    looks.start()
    QTimer.singleShot(_LONGEST, loop.quit)
    loop.exec()
    if not is_so():
        raise TimeoutError("the window did not come to where it should be pictured")


@contextmanager
def own_folder() -> Iterator[Path]:
    """A folder with a name of its own at its end, which is all of it that the window shows."""
    with TemporaryDirectory() as name:
        folder = Path(name) / "teaching" / "model-eye"
        folder.mkdir(parents=True)
        yield folder


@contextmanager
def staged(app: QApplication, theme: Theme, folder: Path, size: QSize) -> Iterator[Stage]:
    settings = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    Preferences(settings).shows_first_steps = False
    window = Window(app, theme, settings)
    window.resize(size)
    window.show()
    try:
        yield Stage(window, folder)
    finally:
        window.close()
        window.deleteLater()


@contextmanager
def until(signal: SignalInstance) -> Iterator[None]:
    """Do something, then wait for a signal that it leads to, unless it has come already."""
    loop = QEventLoop()
    came: list[object] = []

    def note(*_: object) -> None:
        came.append(True)
        loop.quit()

    signal.connect(note)
    yield
    if not came:
        QTimer.singleShot(_LONGEST, loop.quit)
        loop.exec()
    signal.disconnect(note)
    if not came:
        raise TimeoutError("the window did not come to where it should be pictured")
