"""What was published is on a list, by which the copies of a case are found, and nothing of it is in the case."""

import os
from pathlib import Path

import pytest

from annotator.errors import StoreError
from annotator.library.copies import copies_in
from annotator.library.library import opened
from annotator.model.facts import Fact
from annotator.publish import job
from annotator.publish.options import Options
from annotator.store import published
from tests.library.cases import put
from tests.measure.cases import tag


def places(folder: Path, only: Path | None = None) -> list[tuple[str, str, bool, str]]:
    with opened(folder) as library:
        found = copies_in(library, only)
    return [(one.case.name, Path(one.copy.place).name, one.copy.is_there, one.consent) for one in found.listed]


def test_what_the_window_publishes_is_found_and_whether_it_is_still_there(folder: Path, tmp_path: Path) -> None:
    consent = Fact("consent", "consent-withdrawn")
    case = put(folder, "a", tag("core", 0, 1_000), facts=(consent,))
    other = put(folder, "b", tag("core", 0, 1_000))
    before = (folder / "a.case.jsonld").read_bytes()
    out = tmp_path / "out"
    out.mkdir()
    options = Options(chapters=True, durations=True, forms=("csv",), facets=("step",))
    for one, name in ((case, "a"), (other, "b")):
        made = job.publish(job.Order(one, folder / f"{name}.case.jsonld", options, (), out, name))
        assert not made.failures
    assert places(folder, folder / "a.case.jsonld") == [
        ("a.case.jsonld", "a.chapters.vtt", True, "consent-withdrawn"),
        ("a.case.jsonld", "a.durations.csv", True, "consent-withdrawn"),
    ]
    (out / "b.chapters.vtt").unlink()
    assert places(folder)[2:] == [
        ("b.case.jsonld", "b.chapters.vtt", False, ""),
        ("b.case.jsonld", "b.durations.csv", True, ""),
    ]
    assert (folder / "a.case.jsonld").read_bytes() == before


def test_a_case_that_was_moved_keeps_its_copies(folder: Path, tmp_path: Path) -> None:
    case = put(folder, "a", tag("core", 0, 1_000))
    published.remember(case, folder / "a.case.jsonld", [tmp_path / "talk"])
    published.remember(case, folder / "a.case.jsonld", [tmp_path / "talk"])
    (folder / "a.case.jsonld").rename(folder / "renamed.case.jsonld")
    assert places(folder) == [("renamed.case.jsonld", "talk", False, "")]


def test_a_damaged_line_costs_only_itself_and_is_said(folder: Path, tmp_path: Path) -> None:
    case = put(folder, "a", tag("core", 0, 1_000))
    published.remember(case, folder / "a.case.jsonld", [tmp_path / "one"])
    with published.list_path().open("ab") as file:
        file.write(b'\n{"case": "urn:te')  # as a full disk cuts it off
    published.remember(case, folder / "a.case.jsonld", [tmp_path / "two"])
    assert [name for _, name, _, _ in places(folder)] == ["one", "two"]
    with opened(folder) as library:
        assert "1 line of" in copies_in(library).notes[0]


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="needs links")
def test_a_list_that_can_not_be_kept_is_said_and_stops_nothing(folder: Path, tmp_path: Path) -> None:
    case = put(folder, "a", tag("core", 0, 1_000))
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_text("as it was")
    published.list_path().parent.mkdir(parents=True, exist_ok=True)
    published.list_path().symlink_to(elsewhere)
    notes = published.remember(case, folder / "a.case.jsonld", [tmp_path / "talk"])
    assert "is not on the list" in notes[0]
    assert elsewhere.read_text() == "as it was"


def test_a_file_that_is_no_case_of_the_folder_is_refused(folder: Path, tmp_path: Path) -> None:
    put(folder, "a", tag("core", 0, 1_000))
    put(tmp_path, "b", tag("core", 0, 1_000))
    with opened(folder) as library, pytest.raises(StoreError, match="is not a case of"):
        copies_in(library, tmp_path / "b.case.jsonld")
