"""A browser's own engine reads each published chapter file as `<track kind="chapters">`, cue for cue.

The engine is Chromium in QtWebEngine; the element is that of the HTML Living Standard, section 4.8.11.
"""

import importlib.util
import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.chapter_files import files
from tests.running import PATIENCE

HERE = Path(__file__).parent


def test_the_browser_finds_the_very_cues(tmp_path: Path) -> None:
    if importlib.util.find_spec("PySide6.QtWebEngineCore") is None:
        pytest.skip("the package PySide6-WebEngine is not installed")
    paths = []
    for file in files():
        paths.append(tmp_path / f"{file.name}.vtt")
        paths[-1].write_text(file.text, encoding="utf-8", newline="\n")
    command = [sys.executable, str(HERE / "read_track.py"), *map(str, paths)]
    ran = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", timeout=PATIENCE, check=False)
    if "ImportError" in ran.stderr and "shared object" in ran.stderr:
        pytest.skip(f"a system library of the browser engine is missing: {ran.stderr.strip().splitlines()[-1]}")
    assert ran.returncode == 0, ran.stderr[-2000:]
    for file, found in zip(files(), json.loads(ran.stdout), strict=True):
        assert found == {"kind": "chapters", "cues": [list(one) for one in file.cues]}, file.name
