"""How the program starts: what it loads before Qt, and what it keeps of the start."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.running import surroundings

# The program as its command runs it, ended as soon as its window has been shown.
_STARTED = """
import gc, json, linecache, sys
from annotator.desktop import app

made = app._made

def told(paths):
    modules = list(sys.modules)
    lines = sum(len(entry[2]) for entry in linecache.cache.values() if len(entry) > 2)
    print(json.dumps({"modules": modules, "lines": lines, "frozen": gc.get_freeze_count(), "on": gc.isenabled()}))
    from PySide6.QtCore import QTimer
    QTimer.singleShot(0, window.close)

def watched():
    global window
    application, window = made()
    window.open_paths = told
    return application, window

app._made = watched
sys.exit(app.run([]))
"""


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What a process tells of itself once its window is shown."""
    home: Path = tmp_path_factory.mktemp("home")
    run = subprocess.run(
        [sys.executable, "-c", _STARTED], env=surroundings(home), check=True, capture_output=True, text=True
    )
    told: dict[str, Any] = json.loads(run.stdout)
    return told


def test_numpy_and_pyav_are_loaded_before_qt_reads_the_source_of_all_that_follows(started: dict[str, Any]) -> None:
    place = {name: number for number, name in enumerate(started["modules"])}
    assert max(place["numpy"], place["av"]) < place["PySide6.QtCore"]


def test_hardly_any_of_what_stands_under_the_desktop_is_loaded_after_qt(started: dict[str, Any]) -> None:
    modules = started["modules"]
    after = set(modules[modules.index("PySide6.QtCore") :])
    under = {name for name in modules if name.startswith("annotator.") and not name.startswith("annotator.desktop")}
    assert len(under & after) < 0.2 * len(under)


def test_no_source_is_kept_that_qt_has_read(started: dict[str, Any]) -> None:
    assert started["lines"] == 0


def test_what_the_program_is_made_of_is_not_looked_through_for_garbage(started: dict[str, Any]) -> None:
    assert started["on"]
    assert started["frozen"] > 10_000


def test_what_only_makes_thumbnails_is_not_loaded_until_they_are_made(started: dict[str, Any]) -> None:
    assert "cv2" not in started["modules"]


def test_what_only_the_library_needs_is_not_loaded_until_it_is_shown(started: dict[str, Any]) -> None:
    assert not [name for name in started["modules"] if name.startswith("annotator.library") or name == "sqlite3"]
