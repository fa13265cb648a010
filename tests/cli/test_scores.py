"""`annotator scores` as a user runs it."""

import json
from pathlib import Path

import pytest

from annotator.errors import StoreError
from annotator.measure.over_cases.caution import CAUTION
from annotator.store import scores as stored
from annotator.store.atomic import write_atomically
from tests.cli.conftest import Annotate
from tests.library.review_cases import write, write_learner
from tests.publish.report.review_example import learner


@pytest.fixture
def cases(tmp_path: Path) -> list[Path]:
    """Three cases."""
    return write_learner(tmp_path / "cases", 3)


def score(annotate: Annotate, case: Path, rater: str, **given: str) -> None:
    said = [part for item, one in given.items() for part in ("--score", f"{item}={one}")]
    made = annotate("scores", case, "--rater", rater, *said)
    assert (made.status, made.err) == (0, f"wrote {stored.scores_path(case)}\n")


def test_self_and_mentor_stand_side_by_side(annotate: Annotate, cases: list[Path]) -> None:
    before = cases[0].read_bytes()
    score(annotate, cases[0], "self", view="3", order="not done")
    score(annotate, cases[0], "teacher", view="2", order="1")
    shown = annotate("scores", cases[0])
    lines = shown.out.splitlines()
    assert (shown.status, shown.err, lines[1]) == (0, "", CAUTION)
    table = [line.split("  ") for line in lines]
    cells = [[cell.strip() for cell in row if cell.strip()] for row in table]
    assert ["Item", "Self", "Mentor"] in cells
    assert ["View kept", "3", "2"] in cells
    assert ["Order of steps", "not done", "1"] in cells
    assert ["Answer to events", "–", "–"] in cells
    assert ["Mean", "3.00 (of 1, 1 not done)", "1.50 (of 2)"] in cells
    assert cases[0].read_bytes() == before


def test_json_says_null_for_what_was_not_done(annotate: Annotate, cases: list[Path]) -> None:
    score(annotate, cases[0], "self", view="3", order="not done")
    found = json.loads(annotate("scores", cases[0], "--json").out)
    assert found["scores"] == {"self": {"view": 3, "order": None}}
    assert found["means"] == {"self": {"mean": 3.0, "scored": 1, "not_done": 1}}


def test_a_score_is_changed_and_taken_back(annotate: Annotate, cases: list[Path]) -> None:
    score(annotate, cases[0], "self", view="3", order="1")
    score(annotate, cases[0], "self", view="2")
    assert annotate("scores", cases[0], "--rater", "self", "--clear", "order").status == 0
    assert json.loads(annotate("scores", cases[0], "--json").out)["scores"] == {"self": {"view": 2}}


def test_over_cases_agreement_is_said_with_what_is_left_out(annotate: Annotate, cases: list[Path]) -> None:
    for at, case in enumerate(cases[:2], 1):
        score(annotate, case, "self", view=str(at))
        score(annotate, case, "mentor", view=str(at + 1))
    stored.scores_path(cases[2]).write_text("junk\n", encoding="utf-8")
    shown = annotate("scores", cases[0].parent)
    assert shown.status == 0
    assert "2 cases with scores" in shown.out
    assert "Agreement of “Self” and “Mentor” over the cases" in shown.out
    assert "Order of steps: agreement needs two cases at least that two raters scored" in shown.out
    assert "left out: op-03: its scores can't be read" in shown.err
    found = json.loads(annotate("scores", cases[0].parent, "--json").out)
    view = found["agreement"][0]
    assert (view["item"], view["cases"]) == ("view", 2)
    assert view["fixed"] == {"value": pytest.approx(1.0), "interval": None}


def test_a_case_whose_consent_is_withdrawn_does_not_count(annotate: Annotate, tmp_path: Path) -> None:
    case = write(tmp_path, "one", learner(1)[0].case, consent="consent-withdrawn")
    score(annotate, case, "self", view="3")
    shown = annotate("scores", tmp_path)
    assert "0 cases with scores" in shown.out
    assert "left out: one: its consent is withdrawn" in shown.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--rater", "self", "--score", "view=9"], "“9” is no score of view; give one of 1, 2, 3, or not done"),
        (["--rater", "self", "--score", "view"], "“view” is not ITEM=SCORE, such as view=3"),
        (["--rater", "self", "--score", "veiw=3"], "view"),
        (["--rater", "boss", "--score", "view=3"], "mentor"),
        (["--score", "view=3"], "--rater goes with --score or --clear"),
        (["--rater", "self"], "--rater goes with --score or --clear"),
    ],
)
def test_wrong_scores_are_refused_and_nothing_is_written(
    annotate: Annotate, cases: list[Path], arguments: list[str], says: str
) -> None:
    refused = annotate("scores", cases[0], *arguments)
    assert refused.status == 2
    assert says in refused.err
    assert not stored.scores_path(cases[0]).exists()


def test_scores_of_many_cases_at_once_are_refused(annotate: Annotate, cases: list[Path]) -> None:
    refused = annotate("scores", *cases, "--rater", "self", "--score", "view=3")
    assert (refused.status, "one case" in refused.err) == (2, True)


def test_scores_by_another_sheet_are_not_mixed_in(annotate: Annotate, cases: list[Path], tmp_path: Path) -> None:
    score(annotate, cases[0], "self", view="3")
    own = tmp_path / "ours.yaml"
    level = "[{score: 1, anchor: {en: no}}, {score: 2, anchor: {en: yes}}]"
    own.write_text(
        "code: ours\nprefLabel: {en: Ours}\nsource: made up\nraters: [{code: self, prefLabel: {en: Self}}]\n"
        f"items: [{{code: view, prefLabel: {{en: View}}, levels: {level}}}]\n",
        encoding="utf-8",
    )
    refused = annotate("scores", cases[0], "--sheet", own, "--rater", "self", "--score", "view=2")
    assert refused.status == 2
    assert "is of the score sheet “example”, and this is “ours”" in refused.err
    assert "example,self,view,3" in stored.scores_path(cases[0]).read_text(encoding="utf-8-sig")


def test_what_another_program_wrote_meanwhile_stays(annotate: Annotate, cases: list[Path]) -> None:
    sheet = stored.find_sheet()
    path = stored.scores_path(cases[0])
    theirs = b"sheet,rater,item,score\nexample,mentor,view,1\n"

    def change(scores: object) -> tuple[()]:
        write_atomically(path, theirs)
        return ()

    with pytest.raises(StoreError, match="changed by another program meanwhile"):
        stored.change_scores(cases[0], sheet, change)
    assert path.read_bytes() == theirs


def test_no_other_result_is_written_over_scores(annotate: Annotate, cases: list[Path]) -> None:
    score(annotate, cases[0], "self", view="3")
    path = stored.scores_path(cases[0])
    before = path.read_bytes()
    refused = annotate("durations", cases[0], "--format", "csv", "--out", path, "--replace")
    assert refused.status == 2
    assert "is a name reserved for files beside a case" in refused.err
    assert path.read_bytes() == before
