"""A command line to try, and small recordings to try it on."""

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import imageio_ffmpeg
import pytest

from annotator.cli import main


class Outcome(NamedTuple):
    """What a command left: its exit status and what it printed."""

    status: int
    out: str
    err: str


Annotate = Callable[..., Outcome]


@pytest.fixture
def annotate(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> Annotate:
    """Runs `annotator ARGUMENT ...` in this process, with folders of its own for cache and log."""
    home = tmp_path_factory.getbasetemp() / "home"
    monkeypatch.setenv("XDG_CACHE_HOME", str(home / "cache"))
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))

    def run(*arguments: str | Path) -> Outcome:
        monkeypatch.setattr(sys, "argv", ["annotator", *map(str, arguments)])
        with pytest.raises(SystemExit) as left:
            main.run()
        captured = capsys.readouterr()
        return Outcome(int(left.value.code or 0), captured.out, captured.err)

    return run


def tags_in(annotate: Annotate, case: Path) -> list[dict[str, Any]]:
    """The tags of a case, as the command line lists them for programs."""
    listed = annotate("tags", case, "--format", "json")
    assert listed.status == 0, listed.err
    tags: list[dict[str, Any]] = json.loads(listed.out)
    return tags


def make_video(path: Path, seconds: int = 20, rate: str = "30000/1001", *more: str) -> Path:
    """A tiny recording of FFmpeg's test picture."""
    source = f"testsrc2=s=160x90:r={rate}:d={seconds}"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-f", "lavfi", "-i", source]
    subprocess.run(
        [*command, "-c:v", "libx264", "-preset", "superfast", "-bf", "2", "-pix_fmt", "yuv420p", *more, str(path)],
        check=True,
    )
    return path


@pytest.fixture(scope="session")
def video(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """20 s at 30000/1001 frames a second."""
    return make_video(tmp_path_factory.mktemp("recordings") / "wet-lab.mp4")


@pytest.fixture
def case(annotate: Annotate, video: Path, tmp_path: Path) -> Path:
    """A fresh case over the recording, with the vitreoretinal vocabulary."""
    path = tmp_path / "model-eye.case.jsonld"
    made = annotate("new", video, "--vocabulary", "vitreoretinal", "--out", path)
    assert made.status == 0, made.err
    return path
