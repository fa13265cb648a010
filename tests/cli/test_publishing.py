"""Clips and a folder to pass on, from the command line."""

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


def test_a_copied_clip_says_how_early_it_begins(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    made = annotate("clips", tagged, "--out", tmp_path / "clips", "--step", "ports", "--copy")
    assert made.status == 0
    assert "s before its tag, at a key frame" in made.err


def test_wrong_use_is_said(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    assert "did you mean" in annotate("clips", tagged, "--out", tmp_path / "clips", "--step", "corre").err
    assert not (tmp_path / "clips").exists()
    refused = annotate("share", tagged, "--out", tmp_path)
    assert (refused.status, "holds other files" in refused.err) == (2, True)


def test_a_folder_to_pass_on(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    out = tmp_path / "talk"
    made = annotate("share", tagged, "--out", out)
    assert made.status == 0
    assert "Nothing has looked for a patient's identity" in made.err
    assert {"index.html", "recording.mp4", "chapters.vtt", "durations.xlsx"} < {path.name for path in out.iterdir()}
