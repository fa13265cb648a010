"""`python -m docs.drawing FOLDER`: drive the window through its states on the sample, and picture each.

No screen is needed and none of the machine's typefaces are used, so the pictures are the same everywhere.
"""

import argparse
import os
import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtGui import QCursor
from PySide6.QtWidgets import QApplication

from annotator.desktop.preferences.cache_room import GB
from annotator.desktop.theme.theme import Choice, Theme
from annotator.desktop.theme.typeface import load_typefaces
from docs.drawing import publishing, side_panels, states
from docs.drawing.stage import Stage, own_folder, staged, wait_for

NARROW, LAPTOP, USUAL, LARGE = QSize(960, 600), QSize(1280, 720), QSize(1440, 900), QSize(1920, 1080)

Scene = Callable[[Stage], None]


def start(stage: Stage) -> None:
    stage.window.close_case()


def window(stage: Stage) -> None:
    stage.open_sample()


def check(stage: Stage) -> None:
    stage.open_sample(0.3)
    controller = stage.window.controller
    if controller is not None:
        for name, at in (("base shaving", 0.285), ("gas", 0.29), ("hypotony", 0.3)):
            stage.seek(at)
            controller.tag(controller.case.vocabulary.match(name).iri)
    stage.window.commands.actions["show_findings"].trigger()


def first_steps(stage: Stage) -> None:
    stage.open_sample()
    if stage.window.bench is not None:
        stage.window.bench.first_steps.show()


def find_command(stage: Stage) -> None:
    stage.open_sample()
    stage.window.commands.actions["find_command"].trigger()


def find_step(stage: Stage) -> None:
    """Where a step begins that Enter would make another one."""
    stage.open_sample(0.3)
    bench = stage.window.bench
    if bench is not None:
        delamination = bench.controller.case.vocabulary.match("delamination").iri
        bench.controller.look_at(delamination)
        wait_for(lambda: stage.window.player.is_sharp)
        stage.window.activateWindow()
        stage.window.commands.actions["find_step"].trigger()
        wait_for(bench.sheet.field.hasFocus)
        bench.sheet.field.setText("seg")


def settings(stage: Stage) -> None:
    """With a folder and a size of its own: the usual ones are each machine's."""
    stage.window.preferences.cache_folder = stage.folder / "kept"
    stage.window.preferences.cache_bytes = 20 * GB
    stage.window.commands.actions["show_settings"].trigger()


def keys(stage: Stage) -> None:
    """A key that another command has, before it is given over."""
    stage.open_sample()
    settings(stage)
    panel = stage.window.settings.page.keys
    panel.field.setText("vitrectomy")
    if stage.window.controller is not None:
        panel.list.select(stage.window.controller.case.vocabulary.match("core vitrectomy").iri)
    panel.change.click()
    panel.catcher.setKeySequence("K")


SCENES: dict[str, tuple[Scene, QSize]] = {
    "start": (start, LAPTOP),
    "window": (window, USUAL),
    "window-laptop": (window, LAPTOP),
    "tag-selected": (side_panels.tag_selected, USUAL),
    "record-editing": (side_panels.record_editing, USUAL),
    "several-selected": (side_panels.several_selected, USUAL),
    "place": (side_panels.place, USUAL),
    "place-large": (side_panels.place_large, LAPTOP),
    "narrow": (side_panels.narrow, NARROW),
    "folded": (side_panels.folded, LAPTOP),
    "publish": (publishing.publish, USUAL),
    "publish-clips": (publishing.publish_clips, LAPTOP),
    "publish-done": (publishing.publish_done, USUAL),
    "summary": (publishing.summary, LAPTOP),
    "check": (check, USUAL),
    "first-steps": (first_steps, LAPTOP),
    "find-command": (find_command, USUAL),
    "find-step": (find_step, LAPTOP),
    "settings": (settings, LAPTOP),
    "keys": (keys, LAPTOP),
    "start-again": (states.start_again, LAPTOP),
    "loading": (states.loading, LAPTOP),
    "nothing-tagged": (states.nothing_tagged, USUAL),
    "recording-missing": (states.recording_missing, LAPTOP),
    "not-found": (states.not_found, LAPTOP),
    "recording-moved": (states.recording_moved, LAPTOP),
    "recording-changed": (states.recording_changed, LAPTOP),
    "recovered": (states.recovered, LAPTOP),
    "no-sound": (states.no_sound, LAPTOP),
    "disk-full": (states.disk_full, LAPTOP),
    "several-recordings": (states.several_recordings, USUAL),
    "recordings": (states.recordings, LAPTOP),
    "captions-beside": (states.captions_beside, LAPTOP),
    "read-only": (states.read_only, LAPTOP),
    "unreadable": (states.unreadable, LAPTOP),
}
SIZES = (LAPTOP, LARGE)
"""Of the window, in which every scene is pictured."""


def take(out: Path, names: Iterable[str], suffix: str = "") -> None:
    """Picture scenes in both themes: into `out` as the documents show them, into `out/every` in every size.

    `suffix` names another scale than the usual one; the documents show nothing of that.
    """
    app = QApplication([])
    load_typefaces()
    every = out / "every"
    every.mkdir(parents=True, exist_ok=True)
    for choice in (Choice.DARK, Choice.LIGHT):
        theme = Theme(app, choice)
        for name in names:
            scene, own_size = SCENES[name]
            with own_folder() as folder, staged(app, theme, folder, own_size) as stage:
                scene(stage)
                stage.wait_for_making()
                if not suffix:
                    _picture(app, stage, out / f"{name}-{choice.value}.png")
                for size in SIZES:
                    stage.window.resize(size)
                    _picture(app, stage, every / f"{name}-{choice.value}-{size.width()}x{size.height()}{suffix}.png")


def _picture(app: QApplication, stage: Stage, path: Path) -> None:
    QCursor.setPos(stage.window.mapToGlobal(stage.window.rect().bottomRight()))
    for _ in range(3):  # a part that has other contents now tells its neighbours, and these theirs
        app.processEvents()
    stage.window.grab().save(str(path))


def main() -> None:
    """Write all pictures; those at 200 % in a process of their own, as Qt takes the scale once, at its start."""
    asks = argparse.ArgumentParser(prog="python -m docs.drawing", description="Picture the window.")
    asks.add_argument("folder", type=Path, help="where the pictures are written; made if it is not there")
    asks.add_argument("--double", action="store_true", help="only those at 200 %%, in this process")
    given = asks.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    if given.double:
        take(given.folder, SCENES, "-200")
        return
    command = [sys.executable, "-m", "docs.drawing", str(given.folder), "--double"]
    with subprocess.Popen(command, env=os.environ | {"QT_SCALE_FACTOR": "2"}) as double:
        take(given.folder, SCENES)
    if double.returncode:
        sys.exit(double.returncode)


if __name__ == "__main__":
    main()
