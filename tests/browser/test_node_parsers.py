"""The W3C community's own parser, in its chapters mode, and vtt.js find no fault and the very cues.

webvtt-parser: https://github.com/w3c/webvtt.js ; vtt.js: https://github.com/mozilla/vtt.js . Both are installed into
a cache folder by `tests/browser/install-parsers`; without them, or without Node, these tests are skipped.
"""

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.browser.chapter_files import File, decoded, files

HERE = Path(__file__).parent
NODE = shutil.which("node")
CACHE = Path(
    os.environ.get("ANNOTATOR_PARSERS")
    or Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "surgical-step-annotator" / "parsers"
)
pytestmark = [
    pytest.mark.skipif(NODE is None, reason="Node is not installed"),
    pytest.mark.skipif(not (CACHE / "node_modules").is_dir(), reason="run tests/browser/install-parsers first"),
]


@pytest.fixture(params=files(), ids=lambda file: file.name)
def file(request: pytest.FixtureRequest) -> File:
    found: File = request.param
    return found


@pytest.fixture
def parsed(file: File, tmp_path: Path) -> dict[str, Any]:
    path = tmp_path / "chapters.vtt"
    path.write_text(file.text, encoding="utf-8", newline="\n")
    command = [str(NODE), str(HERE / "parse.cjs"), str(CACHE), str(path)]
    ran = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=True)
    result: dict[str, Any] = json.loads(ran.stdout)
    return result


@pytest.mark.parametrize("parser", ["webvtt-parser", "vtt.js"])
def test_no_fault_and_the_very_cues(parser: str, file: File, parsed: dict[str, Any]) -> None:
    found = parsed[parser]
    assert found["errors"] == []
    cues = [(one["id"], one["start"], one["end"], decoded(one["text"])) for one in found["cues"]]
    assert cues == [tuple(one) for one in file.cues]
