"""`annotator facts` and `annotator new --fact`: what a case was is said and listed, never who it was."""

import json
from pathlib import Path
from typing import Any

from annotator.store.vocabularies import own_folder
from tests.cli.conftest import Annotate


def facts_in(annotate: Annotate, case: Path) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(annotate("facts", case, "--format", "json").out)
    return said


def test_facts_are_said_listed_and_cleared(annotate: Annotate, case: Path) -> None:
    said = annotate("facts", case, "--set", "Gauge=25G", "--set", "finding=ERM", "--set", "eye=OS")
    assert (said.status, said.out) == (0, "")
    assert "Gauge: 25 gauge; Finding: Epiretinal membrane; This is a left eye" in said.err
    assert facts_in(annotate, case) == {"eye": "left", "gauge": "25-gauge", "finding": "epiretinal-membrane"}
    listed = annotate("facts", case).out.splitlines()
    assert [line.split()[0] for line in listed] == ["fact", "eye", "finding", "gauge"]
    cleared = annotate("facts", case, "--clear", "gauge", "--clear", "eye", "--set", "month=2026")
    assert cleared.status == 0
    assert facts_in(annotate, case) == {"finding": "epiretinal-membrane", "month": "2026"}


def test_one_wrong_fact_and_nothing_is_changed(annotate: Annotate, case: Path) -> None:
    before = case.read_bytes()
    for arguments, says in [
        (("--set", "gauge=25G", "--set", "gage=25G"), "no fact “gage”; available: “gauge”"),
        (("--set", "gauge=24G"), "no value of gauge “24G”"),
        (("--set", "month=2026-11-05"), "a day may tell whose operation it was"),
        (("--set", "gauge"), "“gauge” is not NAME=VALUE"),
        (("--set", "gauge=25G", "--clear", "month"), "no fact in this case “month”"),
        (("--set", "finding-in-words=Mrs Example"), "looks like a name behind a title"),
        (("--set", "finding-in-words=Mrs Example"), "or add --names-nobody if it names nobody"),
    ]:
        refused = annotate("facts", case, *arguments)
        assert (refused.status, case.read_bytes()) == (2, before)
        assert says in refused.err
    taken = annotate("facts", case, "--set", "finding-in-words=Dr Example’s sign", "--names-nobody")
    assert (taken.status, facts_in(annotate, case)) == (0, {"finding-in-words": "Dr Example’s sign"})


def test_what_may_tell_who_it_was_and_what_is_incomplete_is_said(annotate: Annotate, case: Path) -> None:
    said = annotate("facts", case, "--set", "finding=ERM", "--set", "month=2026-11", "--set", "eye=left")
    assert "note: Finding, Month and Eye together may tell whose operation it was" in said.err
    said = annotate("facts", case, "--clear", "month", "--set", "outcome=success", "--set", "consent=withdrawn")
    assert "note: Outcome says little without Outcome seen (outcome-seen)" in said.err
    assert "note: The consent to this case is withdrawn" in said.err


def test_a_new_case_has_facts(annotate: Annotate, video: Path, tmp_path: Path) -> None:
    out = tmp_path / "new.case.jsonld"
    refused = annotate("new", video, "--fact", "month=5.11.2026", "--out", out)
    assert (refused.status, out.exists()) == (2, False)
    made = annotate("new", video, "--fact", "case number=12", "--fact", "eye=right", "--out", out)
    assert (made.status, facts_in(annotate, out)) == (0, {"eye": "right", "case-number": "12"})


def test_the_facts_that_may_be_said_are_listed(annotate: Annotate) -> None:
    listed = annotate("vocab", "facts")
    assert "gas-strength" in listed.out
    assert "1 to 100 %" in listed.out
    assert "facts.yaml" in listed.err
    anchored = annotate("vocab", "facts", "difficulty").out
    assert "Nothing in this eye made any step harder" in anchored
    assert annotate("vocab", "facts", "month").out == "a month, such as 2026-11, or a year\n"
    assert annotate("vocab", "facts", "mont").status == 2


def test_copies_that_leave_are_warned_of_where_the_consent_is_withdrawn(
    annotate: Annotate, case: Path, tmp_path: Path
) -> None:
    warned = "note: The consent to this case is withdrawn: pass nothing on, and take back the copies that are out"
    (tmp_path / "tags.csv").write_text("start,end,step\n1,2,core vitrectomy\n", encoding="utf-8")
    annotate("tags", case, "--add", tmp_path / "tags.csv")
    stills = ("clips", case, "--stills", "--out", tmp_path / "stills")
    assert "consent" not in annotate(*stills).err
    annotate("facts", case, "--set", "consent=withdrawn")
    for number, arguments in enumerate((stills, ("embed", case, "--out"), ("share", case, "--out"))):
        out = () if arguments is stills else (tmp_path / f"copy{number}{'.mp4' * (arguments[0] == 'embed')}",)
        done = annotate(*arguments, *out)
        assert (done.status, warned in done.err) == (0, True), done.err


def test_a_faulty_list_of_the_department_keeps_nobody_from_publishing(
    annotate: Annotate, case: Path, tmp_path: Path
) -> None:
    (tmp_path / "tags.csv").write_text("start,end,step\n1,2,core vitrectomy\n", encoding="utf-8")
    annotate("tags", case, "--add", tmp_path / "tags.csv")
    annotate("facts", case, "--set", "consent=withdrawn")
    own = own_folder()
    own.mkdir(parents=True, exist_ok=True)
    (own / "facts.yaml").write_text("facts: 5\n", encoding="utf-8")
    try:
        assert annotate("facts", case).status == 2
        done = annotate("clips", case, "--stills", "--out", tmp_path / "stills")
        assert (done.status, "is withdrawn" in done.err) == (0, True)
    finally:
        (own / "facts.yaml").unlink()
