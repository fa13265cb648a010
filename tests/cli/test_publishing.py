"""Clips and a folder to pass on, from the command line."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate


@pytest.fixture
def tagged(annotate: Annotate, case: Path, tmp_path: Path) -> Path:
    steps = tmp_path / "steps.csv"
    steps.write_text("start,end,step\n0:01,0:02,ports\n0:02,0:03,core\n", encoding="utf-8")
    assert annotate("tags", case, "--add", steps).status == 0
    return case


def test_clips_and_stills_go_into_a_folder(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    out = tmp_path / "clips"
    made = annotate("clips", tagged, "--out", out, "--step", "core")
    assert made.status == 0
    (clip,) = out.iterdir()
    assert clip.name.endswith("-core-vitrectomy.mp4")
    assert made.err == f"wrote {clip}\n"
    assert annotate("clips", tagged, "--out", out, "--stills").status == 0
    assert sorted(path.suffix for path in out.iterdir()) == [".mp4", ".png", ".png"]


@pytest.mark.skipif(sys.platform == "win32", reason="a terminal is made by other means there")
def test_a_terminal_shows_which_of_how_many_is_written(tagged: Path, tmp_path: Path) -> None:
    ours, theirs = os.openpty()
    command = [sys.executable, "-m", "annotator", "clips", str(tagged), "--out", str(tmp_path / "clips"), "--stills"]
    try:
        subprocess.run(command, stderr=theirs, check=True)
    finally:
        os.close(theirs)
    shown = os.read(ours, 100_000).decode()
    os.close(ours)
    assert "writing still 2 of 2" in shown


def test_a_copied_clip_says_how_early_it_begins(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    made = annotate("clips", tagged, "--out", tmp_path / "clips", "--step", "ports", "--copy")
    assert made.status == 0
    assert "s before its tag, at a key frame" in made.err


def test_wrong_use_is_said(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    nothing = annotate("clips", tagged, "--out", tmp_path / "clips", "--step", "delamination")
    assert nothing.status == 0
    assert "nothing was written: " in nothing.err
    assert "has no tag of “delamination”" in nothing.err
    assert "did you mean" in annotate("clips", tagged, "--out", tmp_path / "clips", "--step", "corre").err
    assert not (tmp_path / "clips").exists()
    refused = annotate("share", tagged, "--out", tmp_path)
    assert (refused.status, "holds other files" in refused.err) == (2, True)


def test_a_folder_to_pass_on(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    out = tmp_path / "talk"
    made = annotate("share", tagged, "--out", out)
    assert made.status == 0
    assert "Not checked for patient identifiers" in made.err
    assert {"index.html", "recording.mp4", "chapters.vtt", "durations.xlsx"} < {path.name for path in out.iterdir()}


@pytest.mark.parametrize("kept", ["", "some-later-scheme:5:abc"])
@pytest.mark.parametrize("verb", ["embed", "clips", "share"])
def test_a_recording_of_which_the_case_does_not_say_what_was_in_it_is_not_published(
    annotate: Annotate, tagged: Path, tmp_path: Path, verb: str, kept: str
) -> None:
    """It may be any file of the user's: a stranger's case can name it."""
    document = json.loads(tagged.read_bytes())
    document["recordings"][0]["fingerprint"] = kept
    tagged.write_text(json.dumps(document), encoding="utf-8")
    out = tmp_path / ("out.mp4" if verb == "embed" else "out")
    refused = annotate(verb, tagged, "--out", out)
    assert refused.status == 2
    assert "may be another recording than the one that was tagged" in refused.err
    assert "choose “Use this recording” and try again" in refused.err
    assert not out.exists() or not list(out.iterdir())
