"""Which case belongs to a recording: by its content."""

from pathlib import Path

import pytest

from annotator.model.case import Case
from annotator.model.edits import new_id
from annotator.model.recording import Recording
from annotator.store.session import Session
from annotator.workflow.cases_of import beside, cases_of, free_beside
from tests.strategies import VOCABULARY


def case_in(path: Path, *fingerprints: str) -> Path:
    recordings = tuple(Recording(new_id(), f"{one}.mp4", one, 1_000) for one in fingerprints)
    Session.create(path, Case(new_id(), "", VOCABULARY, recordings)).close()
    return path


def test_the_cases_that_hold_a_content_are_found_the_first_one_first(tmp_path: Path) -> None:
    one = case_in(tmp_path / "a.case.jsonld", "print-1")
    both = case_in(tmp_path / "b.case.jsonld", "print-1", "print-2")
    case_in(tmp_path / "c.case.jsonld", "print-3")
    assert [found.path for found in cases_of(["print-1"], tmp_path)] == [one, both]
    assert [found.path for found in cases_of(["print-1"], tmp_path, [both])] == [both, one]
    assert [found.path for found in cases_of(["print-2", "other"], tmp_path)] == [both]
    assert cases_of(["print"], tmp_path) == []


def test_a_case_is_found_however_the_ending_of_its_name_is_written(tmp_path: Path) -> None:
    """Some systems and drives tell no letter case apart, and hand names on in capitals."""
    loud = case_in(tmp_path / "A.CASE.JSONLD", "print-1")
    assert [found.path for found in cases_of(["print-1"], tmp_path)] == [loud]


def test_among_more_cases_than_are_looked_into_the_usual_one_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("annotator.workflow.cases_of.MOST_CASES", 1)
    case_in(tmp_path / "a.case.jsonld", "print-1")
    usual, late = (case_in(tmp_path / f"{name}.case.jsonld", "print-2") for name in "yz")
    assert [found.path for found in cases_of(["print-2"], tmp_path, [usual])] == [usual]
    assert [found.path for found in cases_of(["print-2"], tmp_path, [late, usual])] == [late, usual]


def test_what_is_no_case_or_can_not_be_read_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "damaged.case.jsonld").write_text("{ print-1")
    (tmp_path / "folder.case.jsonld").mkdir()
    (tmp_path / "print-1.case.jsonld").symlink_to(tmp_path / "nowhere")
    assert cases_of(["print-1"], tmp_path) == []
    assert cases_of(["print-1"], tmp_path / "gone") == []


def test_a_content_that_only_the_journal_knows_yet_is_found(tmp_path: Path) -> None:
    path = tmp_path / "a.case.jsonld"
    case_in(path, "print-1")
    with Session.open(path) as session:
        from annotator.model.edits import relocate

        session.do(lambda case: relocate(case, 0, "b.mp4", "print-2"))
        assert [found.path for found in cases_of(["print-2"], tmp_path)] == [path]


@pytest.mark.parametrize(
    ("there", "is_same", "name"),
    [
        ([], False, "op"),
        (["op"], False, "op.mkv"),
        (["op"], True, "op 2"),
        (["op", "op.mkv"], False, "op 2"),
        (["op", "op.mkv", "op 2"], False, "op 3"),
    ],
)
def test_a_case_more_has_a_name_that_is_free(there: list[str], is_same: bool, name: str, tmp_path: Path) -> None:
    recording = tmp_path / "op.mkv"
    for one in there:
        (tmp_path / f"{one}.case.jsonld").touch()
    assert free_beside(recording, is_same=is_same) == tmp_path / f"{name}.case.jsonld"
    assert beside(recording) == tmp_path / "op.case.jsonld"
