"""`annotator new`: the order given counts, and is said where the names would give another."""

import json
from pathlib import Path

import pytest

from annotator.formats.vocabulary import vocabulary_yaml
from tests.cli.conftest import Annotate, make_video
from tests.formats.example_case import VOCABULARY


@pytest.fixture
def parts(tmp_path: Path) -> list[Path]:
    return [make_video(tmp_path / f"part {number}.mp4", length) for number, length in ((1, 1), (2, 2), (10, 3))]


def test_another_order_than_by_name_is_kept_and_said(annotate: Annotate, parts: list[Path], tmp_path: Path) -> None:
    out = tmp_path / "one.case.jsonld"
    made = annotate("new", parts[2], parts[0], parts[1], "--out", out)
    assert made.status == 0, made.err
    assert "by name they would be part 1.mp4, part 2.mp4, part 10.mp4" in made.err
    paths = [one["path"] for one in json.loads(out.read_text(encoding="utf-8"))["recordings"]]
    assert paths == ["part 10.mp4", "part 1.mp4", "part 2.mp4"]


def test_the_order_by_name_is_nothing_to_speak_of(annotate: Annotate, parts: list[Path], tmp_path: Path) -> None:
    made = annotate("new", *parts, "--out", tmp_path / "one.case.jsonld")
    assert "by name" not in made.err


def test_the_kind_of_operation_is_one_of_the_vocabulary(annotate: Annotate, parts: list[Path], tmp_path: Path) -> None:
    terms = tmp_path / "ours.yaml"
    terms.write_text(vocabulary_yaml.dumps(VOCABULARY), encoding="utf-8")
    out = tmp_path / "one.case.jsonld"
    refused = annotate("new", parts[0], "--vocabulary", terms, "--kind", "detachmnt", "--out", out)
    assert (refused.status, out.exists()) == (2, False)
    assert "kind of operation" in refused.err
    assert "“detachment”" in refused.err
    made = annotate("new", parts[0], "--vocabulary", terms, "--kind", "detachment", "--out", out)
    assert (made.status, json.loads(out.read_text(encoding="utf-8"))["kind"]) == (0, "detachment")


def test_the_eye_is_told_and_quadrants_are_read_with_it(annotate: Annotate, parts: list[Path], tmp_path: Path) -> None:
    out, table = tmp_path / "case.jsonld", tmp_path / "tags.csv"
    assert annotate("new", parts[0], "--eye", "both", "--out", out).status == 2
    assert annotate("new", parts[0], "--eye", "left", "--out", out).status == 0
    assert json.loads(out.read_text(encoding="utf-8"))["eye"] == "left"
    table.write_text("start,end,step,place\n0,1,core vitrectomy,inferotemporal mid periphery\n", encoding="utf-8")
    assert annotate("tags", out, "--add", table).status == 0
    assert json.loads(out.read_text(encoding="utf-8"))["first"]["items"][0]["place"] == "3-6 mid-periphery"
