"""The documents' pictures are made from the real window, without a screen."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from annotator.desktop.theme.theme import Theme
from docs.drawing import states
from docs.drawing.__main__ import SCENES
from docs.drawing.stage import own_folder, staged
from tests.running import PATIENCE

PROGRAM = "import sys; from pathlib import Path; from docs.drawing.__main__ import take; take(Path(sys.argv[1]), "


def test_the_window_is_pictured_in_both_themes(tmp_path: Path) -> None:
    program = PROGRAM + "['window', 'start'])"
    offscreen = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    subprocess.run([sys.executable, "-c", program, str(tmp_path)], env=offscreen, check=True, timeout=PATIENCE)
    grounds = {}
    for name in ("window-dark", "window-light", "start-dark", "start-light"):
        image = QImage(str(tmp_path / f"{name}.png"))
        assert (image.width(), image.height()) in {(1440, 900), (1280, 720)}
        grounds[name] = image.pixelColor(2, image.height() - 2).lightness()
        colours = {image.pixel(x, y) for x in range(0, image.width(), 7) for y in range(0, image.height(), 7)}
        assert len(colours) > 20
    assert grounds["window-dark"] < 60 < 200 < grounds["window-light"]
    assert grounds["start-dark"] < 60 < 200 < grounds["start-light"]


@pytest.mark.parametrize("name", [name for name, (scene, _) in SCENES.items() if hasattr(states, scene.__name__)])
def test_every_state_can_be_brought_about(name: str, qapp: QApplication, theme: Theme) -> None:
    scene, size = SCENES[name]
    with own_folder() as folder, staged(qapp, theme, folder, size) as stage:
        scene(stage)
        bench = stage.window.bench
        if name in ("start-again", "loading", "unreadable", "recordings"):
            assert bench is None
        else:
            assert bench is not None
            assert bool(bench.notices.texts) == (name not in ("nothing-tagged", "several-recordings"))


def test_asking_for_help_writes_nothing(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "docs.drawing", "--help"]
    run = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True, timeout=PATIENCE)
    assert "folder" in run.stdout
    assert list(tmp_path.iterdir()) == []
