"""The rules on what may import what hold; they stand in pyproject.toml."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def test_import_rules_hold() -> None:
    checked = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert checked.returncode == 0, checked.stdout[-3000:]


def test_only_known_things_stand_at_the_top() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode != 0:
        return  # an exported tree without its history has nothing to compare
    top = {line.split("/", 1)[0] for line in tracked.stdout.splitlines()}
    known = {
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE",
        "THIRD_PARTY.md",
        "Makefile",
        "pyproject.toml",
        "constraints.txt",
        ".gitignore",
        ".ci",
        "annotator",
        "tests",
        "sample_media",
        "vocab",
        "docs",
    }
    assert top <= known
