"""A recording that was moved is found by its content, and the case keeps its new place, where that can be."""

import json
from pathlib import Path
from shutil import copy

import pytest

from annotator.store.session import Session
from tests.cli.conftest import Annotate


@pytest.fixture
def moved(annotate: Annotate, video: Path, tmp_path: Path) -> Path:
    """The case of a recording that lies in another folder, under another name, since it was tagged."""
    recording, case = Path(copy(video, tmp_path / "wet-lab.mp4")), tmp_path / "model-eye.case.jsonld"
    assert annotate("new", recording, "--vocabulary", "vitreoretinal", "--out", case).status == 0
    steps = tmp_path / "steps.csv"
    steps.write_text("start,end,step\n0:01,0:02,ports\n", encoding="utf-8")
    assert annotate("tags", case, "--add", steps).status == 0
    (tmp_path / "archive").mkdir()
    recording.rename(tmp_path / "archive" / "renamed.mp4")
    return case


def place_in(case: Path) -> str:
    return str(json.loads(case.read_text(encoding="utf-8"))["recordings"][0]["path"])


@pytest.mark.parametrize(
    "verb",
    [("clips", "--stills", "--out", "stills"), ("embed", "--out", "talk.mp4"), ("share", "--out", "talk")],
    ids=lambda verb: verb[0],
)
def test_a_verb_that_reads_the_recording_keeps_its_new_place(
    annotate: Annotate, moved: Path, tmp_path: Path, verb: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    made = annotate(verb[0], moved, *verb[1:])
    assert made.status == 0, made.err
    assert f"was found at {moved.parent / 'archive' / 'renamed.mp4'}\n" in made.err
    assert place_in(moved) == "archive/renamed.mp4"
    assert "was found at" not in annotate("clips", moved, "--stills", "--out", "again").err


def test_tags_are_added_and_the_new_place_is_kept(annotate: Annotate, moved: Path, tmp_path: Path) -> None:
    steps = tmp_path / "more.csv"
    steps.write_text("start,end,step\n0:03,0:04,core\n", encoding="utf-8")
    assert annotate("tags", moved, "--add", steps).status == 0
    assert place_in(moved) == "archive/renamed.mp4"


def test_a_table_that_is_refused_leaves_the_case_as_it_was(annotate: Annotate, moved: Path, tmp_path: Path) -> None:
    steps = tmp_path / "more.csv"
    steps.write_text("start,end,step\n0:03,0:04,no such step\n", encoding="utf-8")
    before = moved.read_bytes()
    assert annotate("tags", moved, "--add", steps).status == 2
    assert moved.read_bytes() == before


def test_a_case_that_is_open_elsewhere_stays_as_it_is_and_its_recording_is_read(
    annotate: Annotate, moved: Path, tmp_path: Path
) -> None:
    with Session.open(moved):
        before = moved.read_bytes()
        made = annotate("clips", moved, "--stills", "--out", tmp_path / "stills")
        assert (made.status, moved.read_bytes()) == (0, before)
    assert "was found at" in made.err
    assert len(list((tmp_path / "stills").iterdir())) == 1


def test_another_recording_in_its_place_is_not_taken(
    annotate: Annotate, moved: Path, video: Path, tmp_path: Path
) -> None:
    (moved.parent / "archive" / "renamed.mp4").unlink()
    (moved.parent / place_in(moved)).write_bytes(video.read_bytes() + b"\0")
    before = moved.read_bytes()
    refused = annotate("clips", moved, "--stills", "--out", tmp_path / "stills")
    assert refused.status == 2
    assert "has changed since it was tagged" in refused.err
    assert moved.read_bytes() == before
