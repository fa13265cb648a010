"""`annotator blind`: the copy on disk, what it may never overwrite, and how long a comparison waits."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate, tags_in

STEPS = "start,end,step,note\n0,2,port placement,TELLING\n2,7,core vitrectomy,\n"


@pytest.fixture
def tagged(annotate: Annotate, case: Path) -> Path:
    table = case.with_name("steps.csv")
    table.write_text(STEPS, encoding="utf-8")
    assert annotate("tags", case, "--add", table).status == 0
    return case


def test_the_copy_has_the_recording_and_no_tags(annotate: Annotate, tagged: Path, video: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    copy = tmp_path / "elsewhere" / "fellow.case.jsonld"
    before = tagged.read_bytes()
    made = annotate("blind", tagged, "--out", copy)
    assert made.status == 0, made.err
    text = copy.read_text(encoding="utf-8")
    document = json.loads(text)
    assert (copy.parent / document["recordings"][0]["path"]).resolve() == video.resolve()
    assert document["blindTo"] == json.loads(before)["id"] != document["id"]
    assert ("TELLING" in text, "first" in document) == (False, False)
    assert tagged.read_bytes() == before


def test_a_comparison_waits_until_both_are_done(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    copy = tmp_path / "fellow.case.jsonld"
    assert annotate("blind", tagged, "--out", copy).status == 0
    added = annotate("tags", copy, "--add", tmp_path / "steps.csv")
    assert "is tagged blind" in added.err
    for waits_for in (tagged, copy):
        refused = annotate("compare", tagged, copy)
        assert (refused.status, refused.out) == (2, "")
        assert f"annotator blind {waits_for} --done" in refused.err
        assert annotate("blind", waits_for, "--done").status == 0
    compared = annotate("compare", tagged, copy)
    assert (compared.status, "blind" in compared.err) == (0, False)
    assert len(tags_in(annotate, copy)) == 2


def test_nothing_is_ever_overwritten(annotate: Annotate, tagged: Path, video: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.case.jsonld"
    assert annotate("new", video, "--out", other).status == 0
    links = [tmp_path / name for name in ("to-case.case.jsonld", "to-film.case.jsonld", "hard.case.jsonld")]
    links[0].symlink_to(other)
    links[1].symlink_to(video)
    links[2].hardlink_to(other)
    kept = {path: path.read_bytes() for path in (tagged, other, video)}
    for out in (tagged, other, video, *links, tmp_path, tmp_path / f".{other.name}.journal"):
        refused = annotate("blind", tagged, "--out", out)
        assert (refused.status, refused.out) == (2, ""), out
    assert {path: path.read_bytes() for path in kept} == kept


def test_it_makes_a_copy_or_says_done(annotate: Annotate, tagged: Path, tmp_path: Path) -> None:
    assert annotate("blind", tagged).status == 2
    assert annotate("blind", tagged, "--done", "--out", tmp_path / "one.case.jsonld").status == 2
    assert annotate("blind", tmp_path / "none.case.jsonld", "--out", tmp_path / "one.case.jsonld").status == 2
    assert not (tmp_path / "one.case.jsonld").exists()
