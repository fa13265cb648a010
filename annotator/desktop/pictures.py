"""`python -m annotator.desktop.pictures FOLDER`: drive the window through its states on the sample, and picture each.

No screen is needed and none of the machine's typefaces are used, so the pictures are the same everywhere.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from PySide6.QtCore import QEventLoop, QSettings, QSize, QTimer, SignalInstance
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication

from annotator.bundled import bundled
from annotator.desktop.opening import beside, open_sample
from annotator.desktop.theme import Choice, Theme
from annotator.desktop.typeface import load_typefaces
from annotator.desktop.window import Window
from annotator.store.session import Session
from annotator.workflow.sample import RECORDING

LAPTOP, USUAL, LARGE = QSize(1280, 720), QSize(1440, 900), QSize(1920, 1080)

_LONGEST = 30_000
"""Milliseconds after which something is wrong; only then is the clock waited for."""


class Stage(NamedTuple):
    """The window to be pictured, and a folder for cases made on the way."""

    window: Window
    folder: Path

    def open_sample(self, at: float = 0.62) -> None:
        """The sample with its tags, at a share of its length."""
        with _until(self.window.player.shown):
            self.window.open(open_sample(self.folder), "Opening the sample")
        self.seek(at)

    def open_copy(self) -> Path:
        """A copy of the sample recording with a case that has no tags."""
        copy = self.folder / "new-recording.mp4"
        shutil.copy(bundled("sample_media") / RECORDING, copy)
        with _until(self.window.player.shown):
            self.window.open_paths([copy])
        return copy

    def wait_for_strips(self) -> None:
        bench = self.window.bench
        if bench is not None and not bench.strips.is_done:
            with _until(bench.strips.done):
                pass

    def seek(self, share: float) -> None:
        controller = self.window.controller
        if controller is not None:
            with _until(self.window.player.shown):
                self.window.player.seek(round(share * controller.case.duration))


Scene = Callable[[Stage], None]


def start(stage: Stage) -> None:
    stage.window.close_case()


def bench(stage: Stage) -> None:
    stage.open_sample()


def tag_chosen(stage: Stage) -> None:
    stage.open_sample(0.4)
    controller = stage.window.controller
    if controller is not None:
        step = controller.case.vocabulary.match("fluid-air exchange").iri
        with _until(stage.window.player.shown):
            controller.go_to_tag(next(tag.id for tag in controller.case.tags if tag.concept == step))


def publish(stage: Stage) -> None:
    stage.open_sample()
    stage.window.commands.actions["show_publish"].trigger()


def check(stage: Stage) -> None:
    stage.open_sample(0.3)
    controller = stage.window.controller
    if controller is not None:
        for name, at in (("base shaving", 0.285), ("gas", 0.29), ("hypotony", 0.3)):
            stage.seek(at)
            controller.tag(controller.case.vocabulary.match(name).iri)
    stage.window.commands.actions["show_findings"].trigger()


def find_command(stage: Stage) -> None:
    stage.open_sample()
    stage.window.commands.actions["find_command"].trigger()


def nothing_tagged(stage: Stage) -> None:
    stage.open_copy()
    stage.seek(0.2)


def recording_missing(stage: Stage) -> None:
    copy = stage.open_copy()
    stage.window.close_case()
    copy.unlink()
    with _until(stage.window.player.shown):
        stage.window.open_paths([beside(copy)])


def read_only(stage: Stage) -> None:
    stage.open_sample()
    controller = stage.window.controller
    if controller is None:
        return
    path = controller.session.path
    stage.window.close_case()
    with Session.open(path), _until(stage.window.player.shown):
        stage.window.open_paths([path])
    stage.seek(0.3)


def unreadable(stage: Stage) -> None:
    words = stage.folder / "operation.mp4"
    words.write_text("These are words, not a recording.", encoding="utf-8")
    with _until(stage.window.start.fault_shown):
        stage.window.open_paths([words])


SCENES: dict[str, tuple[Scene, QSize]] = {
    "start": (start, LAPTOP),
    "bench": (bench, USUAL),
    "bench-laptop": (bench, LAPTOP),
    "bench-large": (bench, LARGE),
    "tag-chosen": (tag_chosen, USUAL),
    "publish": (publish, USUAL),
    "check": (check, USUAL),
    "find-command": (find_command, USUAL),
    "nothing-tagged": (nothing_tagged, USUAL),
    "recording-missing": (recording_missing, LAPTOP),
    "read-only": (read_only, LAPTOP),
    "unreadable": (unreadable, LAPTOP),
}
AT_DOUBLE = ("start", "bench-laptop")
"""Scenes that are pictured at 200 % too."""


def take(out: Path, names: Iterable[str], suffix: str) -> None:
    """Picture scenes in both themes into the folder `out`."""
    app = QApplication([])
    load_typefaces()
    for choice in (Choice.DARK, Choice.LIGHT):
        theme = Theme(app, choice)
        for name in names:
            scene, size = SCENES[name]
            with _folder() as folder, _window(app, theme, folder, size) as stage:
                scene(stage)
                stage.wait_for_strips()
                QCursor.setPos(stage.window.mapToGlobal(stage.window.rect().bottomRight()))
                app.processEvents()
                stage.window.grab().save(str(out / f"{name}-{choice.value}{suffix}.png"))


@contextmanager
def _folder() -> Iterator[Path]:
    """A folder with a name of its own at its end, which is all of it that the window shows."""
    with TemporaryDirectory() as name:
        folder = Path(name) / "teaching" / "model-eye"
        folder.mkdir(parents=True)
        yield folder


@contextmanager
def _window(app: QApplication, theme: Theme, folder: Path, size: QSize) -> Iterator[Stage]:
    settings = QSettings(str(folder / "settings.ini"), QSettings.Format.IniFormat)
    window = Window(app, theme, settings)
    window.resize(size)
    window.show()
    try:
        yield Stage(window, folder)
    finally:
        window.close()
        window.deleteLater()


@contextmanager
def _until(signal: SignalInstance) -> Iterator[None]:
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


def main() -> None:
    """Write all pictures; those at 200 % in a process of their own, as Qt takes the scale once, at its start."""
    out, *rest = sys.argv[1:]
    folder = Path(out)
    folder.mkdir(parents=True, exist_ok=True)
    if rest:
        take(folder, AT_DOUBLE, "-200")
        return
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    take(folder, SCENES, "")
    double = os.environ | {"QT_SCALE_FACTOR": "2"}
    subprocess.run([sys.executable, "-m", "annotator.desktop.pictures", out, "double"], env=double, check=True)


if __name__ == "__main__":
    main()
