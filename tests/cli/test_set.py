"""`annotator set`: the eye and the kind of operation of a case, one change, and no place turned round unasked."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Annotate, make_video, tags_in


@pytest.fixture
def case(annotate: Annotate, tmp_path: Path) -> Path:
    out, table = tmp_path / "one.case.jsonld", tmp_path / "tags.csv"
    assert annotate("new", make_video(tmp_path / "one.mp4", 2), "--eye", "right", "--out", out).status == 0
    table.write_text("start,end,step,place\n0,1,core vitrectomy,4 posterior\n", encoding="utf-8")
    assert annotate("tags", out, "--add", table).status == 0
    return out


def said(case: Path) -> dict[str, Any]:
    return {key: json.loads(case.read_text(encoding="utf-8")).get(key) for key in ("eye", "kind", "revision")}


def test_eye_and_kind_are_said_and_taken_back_in_one_change_each(annotate: Annotate, case: Path) -> None:
    before = said(case)["revision"]
    done = annotate("set", case, "--eye", "none", "--kind", "diabetic")
    assert (done.status, done.err) == (
        0,
        "The eye is not specified; The kind of operation is Diabetic vitrectomy\n",
    )
    assert said(case) == {"eye": None, "kind": "diabetic", "revision": before + 1}
    assert annotate("set", case, "--kind", "none").status == 0
    assert said(case)["kind"] is None


@pytest.mark.parametrize(("places", "place"), [("keep", "4 posterior"), ("mirror", "8 posterior")])
def test_places_in_the_other_eye_stay_or_are_mirrored_as_it_is_said(
    annotate: Annotate, case: Path, places: str, place: str
) -> None:
    refused = annotate("set", case, "--eye", "left")
    assert refused.status == 2
    assert "the places of 1 tag are clock hours of a right eye; give --places keep, or --places mirror" in refused.err
    assert said(case)["eye"] == "right"
    assert annotate("set", case, "--eye", "left", "--places", places).status == 0
    assert [tag["place"] for tag in tags_in(annotate, case)] == [place]


def test_the_same_eye_again_mirrors_nothing(annotate: Annotate, case: Path) -> None:
    assert annotate("set", case, "--eye", "right", "--places", "mirror").status == 0
    assert [tag["place"] for tag in tags_in(annotate, case)] == ["4 posterior"]


@pytest.mark.parametrize(
    ("arguments", "fault"),
    [
        ((), "say --eye, --kind or both"),
        (("--places", "keep", "--kind", "diabetic"), "--places goes with --eye"),
        (("--eye", "both"), "is not one of"),
        (("--kind", "diabetc"), "did you mean “diabetic”?"),
        (("--kind", "zzz"), "available: “macular”, “diabetic”"),
        (("--eye", "none", "--kind", ""), "no kind of operation “”"),
    ],
)
def test_what_can_not_be_said_changes_nothing(
    annotate: Annotate, case: Path, arguments: tuple[str, ...], fault: str
) -> None:
    before = case.read_bytes()
    refused = annotate("set", case, *arguments)
    assert (refused.status, case.read_bytes()) == (2, before)
    assert fault in refused.err
