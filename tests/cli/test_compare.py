"""`annotator compare` on real files: what it prints, what it refuses, and the offset that it proposes."""

import json
import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest

from annotator.measure.over_cases.caution import CAUTION
from tests.cli.conftest import Annotate

SURGEON = "start,end,step\n0,2,port placement\n2,7,core vitrectomy\n3,4,bimanual\n8,10,port removal\n"
FELLOW = "start,end,step\n0,2.4,port placement\n2.4,6,core vitrectomy\n6,7,base shaving\n8,10,port removal\n"


def tagged(annotate: Annotate, video: Path, table: str, out: Path) -> Path:
    out.with_suffix(".csv").write_text(table, encoding="utf-8")
    assert annotate("new", video, "--out", out).status == 0
    added = annotate("tags", out, "--add", out.with_suffix(".csv"))
    assert added.status == 0, added.err
    return out


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Ten seconds with a sound and a brightness that are never twice the same."""
    path = tmp_path_factory.mktemp("films") / "wet-lab.mp4"
    sound = "aevalsrc='0.9*sin(2*PI*440*t)*abs(sin(t*t))':d=10"
    picture = "color=gray:s=64x64:r=25:d=10,eq=brightness='0.4*sin(t*t/3)':eval=frame"
    _ffmpeg("-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", sound, "-g", "25", path)
    return path


@pytest.fixture
def cases(annotate: Annotate, film: Path, tmp_path: Path) -> tuple[Path, Path]:
    return (
        tagged(annotate, film, SURGEON, tmp_path / "surgeon.case.jsonld"),
        tagged(annotate, film, FELLOW, tmp_path / "fellow.case.jsonld"),
    )


def test_two_people(annotate: Annotate, cases: tuple[Path, Path]) -> None:
    shown = annotate("compare", *cases)
    assert shown.status == 0, shown.err
    lines = shown.out.splitlines()
    assert lines[:2] == [f"step in A {cases[0]} and B {cases[1]}, compared over 0:10", CAUTION]
    assert [line.split() for line in lines if line.startswith(("kappa", "the same"))] == [
        ["kappa", "0.81", "0.77"],
        ["the", "same", "86.0", "%", "84.4", "%"],
    ]
    assert "00:00:06.000 to 00:00:07.000  0:01   Core vitrectomy  Base shaving" in shown.out
    found = json.loads(annotate("compare", *cases, "--json").out)
    assert (found["accuracy"], found["compared_ms"]) == (0.86, 10_000)
    assert found["disagreements"][0] == {
        "start_ms": 6_000,
        "end_ms": 7_000,
        "a": "core-vitrectomy",
        "b": "base-shaving",
    }
    assert (found["boundaries"]["median_ms"], found["moments"]["median_ms"]) == (0, None)


def test_three_people(annotate: Annotate, cases: tuple[Path, Path]) -> None:
    shown = annotate("compare", *cases, cases[0])
    assert shown.status == 0, shown.err
    assert "Krippendorff’s alpha 0.8" in shown.out
    found = json.loads(annotate("compare", *cases, cases[0], "--json").out)
    assert [pair["kappa"] == 1 for pair in found["pairs"]] == [False, True, False]
    assert annotate("compare", *cases, cases[0], "--offset", 5).status == 2


def test_a_category_that_may_overlap_has_no_kappa_and_says_so(annotate: Annotate, cases: tuple[Path, Path]) -> None:
    shown = annotate("compare", *cases, "--facet", "technique")
    assert (shown.status, "No kappa: tags of the category technique may overlap" in shown.out) == (0, True)
    assert json.loads(annotate("compare", *cases, "--facet", "technique", "--json").out)["kappa"] is None


def test_one_case_and_an_unknown_category_are_refused(annotate: Annotate, cases: tuple[Path, Path]) -> None:
    assert "two cases" in annotate("compare", cases[0]).err
    refused = annotate("compare", *cases, "--facet", "stepp")
    assert (refused.status, "did you mean “step”" in refused.err) == (2, True)


@pytest.mark.parametrize(("without", "within"), [(None, 30), ("-an", 40)])
def test_a_trimmed_copy_is_refused_with_the_offset_to_try(
    annotate: Annotate, film: Path, tmp_path: Path, without: str | None, within: int
) -> None:
    """By its sound; or by its picture, where it has none."""
    trimmed = tmp_path / "trimmed.mp4"
    _ffmpeg("-ss", "3", "-i", film, "-t", "6", *filter(None, [without]), trimmed)
    whole = tagged(annotate, film, SURGEON, tmp_path / "surgeon.case.jsonld")
    table = "start,end,step\n0,4,core vitrectomy\n5,6,port removal\n"
    copy = tagged(annotate, trimmed, table, tmp_path / "b.case.jsonld")
    refused = annotate("compare", whole, copy)
    assert refused.status == 2
    assert abs(int(refused.err.split("try --offset ")[1]) - 3_000) <= within
    back = annotate("compare", copy, whole)
    assert abs(int(back.err.split("try --offset ")[1]) + 3_000) <= within
    found = json.loads(annotate("compare", whole, copy, "--offset", 3_000, "--json").out)
    assert (found["kappa"], found["start_ms"], found["compared_ms"]) == (1, 3_000, 6_000)


def test_another_recording_is_refused(annotate: Annotate, video: Path, film: Path, tmp_path: Path) -> None:
    one = tagged(annotate, film, SURGEON, tmp_path / "surgeon.case.jsonld")
    other = tagged(annotate, video, FELLOW, tmp_path / "fellow.case.jsonld")
    refused = annotate("compare", one, other)
    assert (refused.status, refused.out) == (2, "")
    assert "not about the same recording" in refused.err
    assert "say with --offset" in refused.err
    assert annotate("compare", one, other, "--offset", 20_000).status == 2


def _ffmpeg(*arguments: str | Path) -> None:
    program = imageio_ffmpeg.get_ffmpeg_exe()
    subprocess.run(
        [program, "-v", "error", "-y", *map(str, arguments[:-1]), "-shortest", str(arguments[-1])], check=True
    )


def test_where_nobody_has_tagged_anything_that_is_said(annotate: Annotate, film: Path, tmp_path: Path) -> None:
    one, other = tmp_path / "a.case.jsonld", tmp_path / "b.case.jsonld"
    assert annotate("new", film, "--out", one).status == 0
    assert annotate("new", film, "--vocabulary", "cataract", "--out", other).status == 0
    shown = annotate("compare", one, other)
    assert (shown.status, "kappa" in shown.out) == (0, False)
    assert "Nothing is tagged in the category step" in shown.out
    assert "B uses the vocabulary cataract" in shown.err
