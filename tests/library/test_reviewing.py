"""Reviews of case files: which count, which are left out and why, and what is refused."""

import hashlib
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidEdit, InvalidFile, StoreError, UnknownName
from annotator.library.reviewing import Request, Reviewed, reviewed
from annotator.measure.over_cases.review import Asked, review
from annotator.measure.over_cases.series import member, series
from annotator.measure.over_cases.trend import Trend
from sample_media import library
from tests.library.review_cases import write, write_learner
from tests.publish.report.review_example import learner

HEAD = "step,n,median,begins,ends,source\n"


@pytest.fixture
def cases(tmp_path: Path) -> Path:
    """A folder of nine cases."""
    write_learner(tmp_path / "cases", 9)
    return tmp_path / "cases"


def last(cases: Path, *among: Path, references: tuple[Path, ...] = ()) -> Reviewed:
    return reviewed(Request(cases / "op-09.case.jsonld", among or (cases,), references))


def numbers(found: Reviewed) -> list[int | None]:
    return [one.number for one in found.review.members]


def test_a_case_beside_those_of_its_folder(cases: Path) -> None:
    found = last(cases)
    assert numbers(found) == list(range(1, 9))
    assert found.review.this is not None
    assert (found.review.this.name, found.review.this.number, found.review.this.month) == ("op-09", 9, "2026-09")
    assert {type(one.trend) for one in found.review.steps if one.notation == "core"} == {Trend}


def test_each_file_counts_once_however_often_it_is_given(cases: Path) -> None:
    found = last(cases, cases, cases / "op-01.case.jsonld", cases / "op-01.case.jsonld")
    assert numbers(found) == list(range(1, 9))
    assert found.review.left_out == ()


def test_one_bad_case_never_stops_the_rest(cases: Path) -> None:
    (cases / "bad.case.jsonld").write_text("{")
    (cases / "notes.json").write_text("{}")
    write(cases, "withdrawn", replace(learner(10)[9].case, id="urn:test:withdrawn"), consent="consent-withdrawn")
    found = last(cases).review
    assert len(found.members) == 8
    assert {one.name: one.reason for one in found.left_out} == {
        "bad": "can't be read",
        "withdrawn": "its consent is withdrawn",
    }


def test_nothing_in_the_folder_is_changed(cases: Path) -> None:
    def state() -> dict[str, str]:
        return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in cases.iterdir()}

    before = state()
    last(cases)
    assert state() == before


def test_a_period_holds_its_months_only(cases: Path) -> None:
    write(cases, "some-year", learner(10)[9].case, case_number="10", month="2026")
    found = reviewed(Request(None, [cases], first="2026-03", last="2026-05"))
    assert numbers(found) == [3, 4, 5]
    assert [one.reason for one in found.review.left_out] == ["its month is not known"]


def test_a_table_and_a_group_are_references(cases: Path, tmp_path: Path) -> None:
    table = tmp_path / "times.csv"
    table.write_text(f"{HEAD}core,25,0:50,first cut,last cut,an invented unit\n")
    write_learner(tmp_path / "fellows", 3)
    found = last(cases, references=(table, tmp_path / "fellows")).review
    core = next(one for one in found.steps if one.notation == "core")
    assert [(one.reference.group, one.reference.n) for one in core.against] == [
        ("", 25),
        ("fellows", 3),
        ("fellows", 3),
    ]


def test_a_table_without_rules_is_refused_with_its_line(cases: Path, tmp_path: Path) -> None:
    table = tmp_path / "times.csv"
    table.write_text(f"{HEAD}core,25,0:50,,last cut,an invented unit\n")
    with pytest.raises(InvalidFile, match=r"times\.csv.*line 2: “begins” is empty"):
        last(cases, references=(table,))


def test_what_holds_no_case_is_refused(cases: Path, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    with pytest.raises(StoreError, match="There is no case in what was given"):
        reviewed(Request(None, [empty]))
    with pytest.raises(StoreError, match="There is no case in what was given"):
        last(cases, references=(empty,))
    with pytest.raises(StoreError, match=r"There is no file or folder .*missing; check its name"):
        reviewed(Request(None, [tmp_path / "missing"]))
    with pytest.raises(StoreError, match="No case is of the months"):
        reviewed(Request(None, [cases], first="2031-01"))
    (empty / "bad.case.jsonld").write_text("{")
    with pytest.raises(StoreError, match="No case that was given can be reviewed: bad: can't be read"):
        reviewed(Request(None, [empty]))


def test_an_event_is_watched_by_any_of_its_names(cases: Path) -> None:
    watched = reviewed(Request(None, [cases], event="Bleeding", rates=(0.1, 0.2))).review.watched
    assert watched is not None
    assert watched.notation == "bleeding"


def test_an_unknown_event_a_category_and_wrong_rates_are_refused(cases: Path) -> None:
    with pytest.raises(UnknownName, match="event"):
        reviewed(Request(None, [cases], event="bleding", rates=(0.1, 0.2)))
    with pytest.raises(UnknownName, match="category"):
        reviewed(Request(None, [cases], within=["tecnique"]))
    with pytest.raises(InvalidEdit, match="between 0 and 1"):
        reviewed(Request(None, [cases], event="bleeding", rates=(0.2, 0.1)))


def test_what_is_planted_in_the_invented_library_is_found() -> None:
    """A learning curve, a change of technique from one case on, and second tags that must not count again."""
    cases = library.invented()
    members = [member(case, str(at)) for at, case in enumerate((*cases.first, *cases.second))]
    vocabulary = cases.first[0].vocabulary
    found = review(series(members, vocabulary), None, (), Asked(["technique"]))
    assert len(found.members) == library.CASES - library.WITHDRAWN
    step = next(one for one in found.steps if one.notation == library.LEARNED)
    assert isinstance(step.trend, Trend)
    assert step.trend.power.exponent.low <= library.LEARNED_EXPONENT <= step.trend.power.exponent.high
    moves = {one.notation: one.movement.per_ten for one in step.shares if one.facet == "technique"}
    before, after = moves[library.TECHNIQUE_BEFORE], moves[library.TECHNIQUE]
    assert before is not None
    assert after is not None
    assert before.high < 0 < after.low
