"""`annotator review` as a user runs it."""

import json
from pathlib import Path

import pytest

from annotator.measure.over_cases.caution import CAUTION
from tests.cli.conftest import Annotate
from tests.library.review_cases import write, write_learner
from tests.publish.report.review_example import learner


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    """A folder of three cases: too few for a trend, and quick."""
    write_learner(tmp_path / "cases", 3)
    return tmp_path / "cases"


def test_a_table_for_people(annotate: Annotate, cases: Path) -> None:
    shown = annotate("review", cases / "op-03.case.jsonld", "--among", cases)
    assert shown.status == 0
    assert shown.out.startswith(f"op-03 (case 3) beside 2 earlier cases, 2026-01 to 2026-02\n{CAUTION}\n")
    assert "No trend under 8 cases; there are 3" in shown.out


def test_json_for_programs(annotate: Annotate, cases: Path) -> None:
    found = json.loads(annotate("review", "--among", cases, "--json").out)
    assert found["case"] is None
    assert [one["name"] for one in found["among"]] == ["op-01", "op-02", "op-03"]


def test_a_page_that_names_nobody(annotate: Annotate, cases: Path, tmp_path: Path) -> None:
    out = tmp_path / "review.html"
    made = annotate("review", cases / "op-03.case.jsonld", "--among", cases, "--out", out)
    assert (made.status, made.out, made.err) == (0, "", f"wrote {out}\n")
    text = out.read_text(encoding="utf-8")
    assert "op-0" not in text
    assert "Invented 1961" not in text
    assert annotate("review", "--among", cases, "--out", out).status == 0  # what it wrote itself gives way


def test_consent_that_stands_against_it_is_told(annotate: Annotate, tmp_path: Path) -> None:
    one = learner(1)[0].case
    case = write(tmp_path, "one", one, case_number="1", consent="consent-withdrawn")
    made = annotate("review", case, "--out", tmp_path / "one.html")
    assert made.status == 0
    assert "The consent to this case is withdrawn: pass nothing on" in made.err


def test_without_numbers_it_says_how_to_give_them(annotate: Annotate, tmp_path: Path) -> None:
    case = write(tmp_path, "one", learner(1)[0].case)
    assert "annotator facts CASE --set case-number=12" in annotate("review", case).err
    assert annotate("facts", case, "--set", "case-number=12").status == 0
    shown = annotate("review", case)
    assert shown.err == ""
    assert shown.out.startswith("one (case 12) beside 0 earlier cases\n")


def test_it_never_writes_over_a_case_or_another_page(annotate: Annotate, cases: Path, tmp_path: Path) -> None:
    case = cases / "op-01.case.jsonld"
    page = tmp_path / "mine.html"
    page.write_text("<!DOCTYPE html><p>mine</p>")
    for out in (case, page):
        before = out.read_bytes()
        assert annotate("review", "--among", cases, "--out", out).status == 2
        assert out.read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "name a case, or the cases of a period with --among"),
        (["--event", "bleeding"], "--event and --rates go together"),
        (["--from", "March"], "“March” is not a month; write 2026-03"),
        (["--json", "--out", "x.html"], "ask for one of them"),
    ],
)
def test_wrong_use_is_told(annotate: Annotate, cases: Path, arguments: list[str], says: str) -> None:
    refused = annotate("review", *arguments, *(["--among", cases] if arguments else []))
    assert refused.status == 2
    assert says in refused.err
    assert refused.out == ""
