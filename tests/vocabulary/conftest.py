"""A command line to try, and a folder for a department's own vocabularies."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from annotator.cli import main
from annotator.store import vocabularies


class Outcome(NamedTuple):
    """What a command left: its exit status and what it printed."""

    status: int
    out: str
    err: str


@pytest.fixture
def own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The department's own folder, empty, in place of the one of whoever runs the tests."""
    folder = tmp_path / "own" / "vocab"
    folder.mkdir(parents=True)
    monkeypatch.setattr(vocabularies, "own_folder", lambda: folder)
    return folder


@pytest.fixture
def vocab(own: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Outcome]:
    """Runs `annotator vocab ARGUMENT ...` in this process."""

    def run(*arguments: str | Path) -> Outcome:
        monkeypatch.setattr(sys, "argv", ["annotator", "vocab", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            main.run()
        captured = capsys.readouterr()
        return Outcome(int(left.value.code or 0), captured.out, captured.err)

    return run
