"""The examples in the documents run, in the order in which they stand, and print what is shown.

A block marked `console` holds commands (`$ annotator ...`) and what they print; a line `...` stands for
any lines. A block marked with a file's name (```csv steps.csv) is that file, written before what follows.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
DOCUMENTS = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
BLOCK = re.compile(r"^```(\w+)(?: +(\S+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Command(NamedTuple):
    line: str
    shown: list[str]


def commands(block: str) -> list[Command]:
    found: list[Command] = []
    for line in block.splitlines():
        if line.startswith("$ "):
            found.append(Command(line[2:], []))
        elif found:
            found[-1].shown.append(line)
    return found


def with_examples() -> list[Path]:
    return [
        path for path in DOCUMENTS if any(kind == "console" for kind, _, _ in BLOCK.findall(path.read_text("utf-8")))
    ]


@pytest.mark.parametrize("document", with_examples(), ids=lambda path: path.name)
def test_examples_of_a_document(document: Path, tmp_path: Path) -> None:
    sample = tmp_path / "sample_media"
    shutil.copytree(ROOT / "sample_media", sample, ignore=shutil.ignore_patterns("*.py", "__pycache__", "render"))
    environment = os.environ | {
        f"XDG_{kind}_HOME": str(tmp_path / "home" / kind) for kind in ("CACHE", "STATE", "DATA")
    }
    for kind, name, text in BLOCK.findall(document.read_text("utf-8")):
        if kind == "console":
            for command in commands(text):
                run(command, tmp_path, environment)
        elif name:
            (tmp_path / name).write_text(text, encoding="utf-8")


def run(command: Command, folder: Path, environment: dict[str, str]) -> None:
    words = shlex.split(command.line, comments=True)
    status = int(match[1]) if (match := re.search(r"# exit status (\d+)", command.line)) else 0
    if words[0] != "annotator":
        pytest.fail(f"an example runs {words[0]}, which is not ours to test: mark the block as sh instead")
    done = subprocess.run(
        [sys.executable, "-m", "annotator", *words[1:]],
        cwd=folder,
        env=environment | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    printed = [line.rstrip() for line in (done.stdout + done.stderr).splitlines()]
    assert done.returncode == status, f"$ {command.line}\n" + "\n".join(printed)
    assert matches([line.rstrip() for line in command.shown], printed), f"$ {command.line}\n" + "\n".join(printed)


def matches(shown: list[str], printed: list[str]) -> bool:
    """Whether all lines shown stand in what was printed, in order; without `...` between them, next to each other."""
    at, free = 0, True
    for line in shown:
        if line == "...":
            free = True
            continue
        here = [
            index for index in range(at, len(printed) if free else min(at + 1, len(printed))) if printed[index] == line
        ]
        if not here:
            return False
        at, free = here[0] + 1, False
    return True
