"""Recordings that were found again, and files that stand in for one: the place changes, no tag does."""

from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidEdit, MediaError
from annotator.model.case import Case, Tag
from annotator.model.recording import MediaFacts, Recording
from annotator.store.fingerprint import fingerprint
from annotator.store.recordings import Located
from annotator.workflow.take_recordings import Chosen, doubtful, found_again, lacking, meant, read_chosen, stand_in
from tests.media.films import Films
from tests.strategies import BASE, VOCABULARY

CASE_PATH = Path("/cases/model-eye.case.jsonld")


def two_recordings() -> Case:
    recordings = tuple(
        Recording(f"urn:recording:{number}", f"{number}.mp4", f"content {number}", 60_000, Fraction(60), 1920, 1080)
        for number in (1, 2)
    )
    tags = (Tag("urn:tag:1", f"{BASE}#bimanual", 59_000, 61_000),)
    return Case("urn:case:1", "Model eye (invented)", VOCABULARY, recordings, tags)


def chosen(content: str, duration: int = 60_000) -> Chosen:
    facts = MediaFacts(duration, 1_500, Fraction(25), 640, 360, Fraction(16, 9), 0, "h264", None, 8, False, 0)
    return Chosen(Path("/archive/small.mp4"), facts, content)


def test_all_that_was_found_is_one_change() -> None:
    located = [
        Located(0, Path("/archive/a.mp4"), "moved"),
        Located(1, Path("/archive/b.mp4"), "moved"),
    ]
    case = two_recordings()
    edited = found_again(located, CASE_PATH)(case)
    assert [one.path for one in edited.case.recordings] == ["../archive/a.mp4", "../archive/b.mp4"]
    assert edited.says == "recording 1 is now ../archive/a.mp4, recording 2 is now ../archive/b.mp4"
    assert edited.case.tags == case.tags


@pytest.mark.parametrize("state", ["as left", "changed", "missing"])
def test_only_what_was_found_by_its_content_is_taken(state: str) -> None:
    case = two_recordings()
    located = Located(0, None if state == "missing" else Path("/archive/a.mp4"), state)  # type: ignore[arg-type] # a parameter
    assert found_again([located], CASE_PATH)(case).case == case


@pytest.mark.parametrize("duration", [59_000, 60_000, 61_000])
def test_a_converted_copy_stands_in_and_the_clock_stays(duration: int) -> None:
    case = two_recordings()
    taken = stand_in(chosen("another", duration), 0, CASE_PATH)(case).case
    one = taken.recordings[0]
    assert (one.path, one.fingerprint, one.frame_rate) == ("../archive/small.mp4", "another", Fraction(25))
    assert (one.width, one.height, one.duration) == (640, 360, 60_000)
    assert (taken.tags, taken.borders) == (case.tags, case.borders)


@pytest.mark.parametrize("duration", [58_999, 61_001])
def test_a_file_of_another_length_is_refused(duration: int) -> None:
    with pytest.raises(InvalidEdit, match=r"small\.mp4 lasts 0:59|small\.mp4 lasts 1:01"):
        stand_in(chosen("another", duration), 0, CASE_PATH)(two_recordings())


def test_the_other_recording_of_the_case_is_refused() -> None:
    with pytest.raises(InvalidEdit, match="is already another recording of this case"):
        stand_in(chosen("content 2"), 0, CASE_PATH)(two_recordings())


def test_only_the_one_that_was_found_changes() -> None:
    case = two_recordings()
    edited = found_again(
        [Located(0, Path("/archive/a.mp4"), "as left"), Located(1, Path("/archive/b.mp4"), "moved")], CASE_PATH
    )(case)
    assert edited.case.recordings[0] == case.recordings[0]
    assert edited.case.recordings[1] == replace(case.recordings[1], path="../archive/b.mp4")
    assert edited.says == "recording 2 is now ../archive/b.mp4"


def test_where_nothing_was_found_nothing_is_said_to_change() -> None:
    assert found_again([], CASE_PATH)(two_recordings()).says == "nothing"


def test_the_recording_itself_is_taken_whatever_the_case_says_of_its_length() -> None:
    """Its content is what was tagged; a length that was written wrongly is no reason to refuse it."""
    taken = stand_in(chosen("content 1", 5_000), 0, CASE_PATH)(two_recordings()).case
    assert (taken.recordings[0].path, taken.recordings[0].fingerprint) == ("../archive/small.mp4", "content 1")
    assert taken.recordings[0].duration == 60_000


def test_the_one_that_is_named_is_replaced_and_no_other() -> None:
    case = two_recordings()
    taken = stand_in(chosen("another"), 1, CASE_PATH)(case).case
    assert taken.recordings[0] == case.recordings[0]
    assert taken.recordings[1].fingerprint == "another"
    assert taken.recordings[1].id == case.recordings[1].id


def test_a_refusal_says_both_lengths_and_what_to_do() -> None:
    with pytest.raises(InvalidEdit) as refused:
        stand_in(chosen("another", 125_000), 0, CASE_PATH)(two_recordings())
    assert str(refused.value).startswith("small.mp4 lasts 2:05, but what was tagged 1:00: the tags would not fit.")


def test_a_file_is_read_for_what_it_is_judged_by(film: Films, tmp_path: Path) -> None:
    read = read_chosen(film("turned90.mp4"), tmp_path / "kept")
    assert (read.path, read.fingerprint) == (film("turned90.mp4"), fingerprint(film("turned90.mp4")))
    assert (read.facts.duration, read.facts.frame_rate, read.facts.rotation) == (1_500, Fraction(30), 90)
    assert list((tmp_path / "kept").rglob("*.frames"))
    (tmp_path / "eye.mp4").write_text("no recording")
    with pytest.raises(MediaError):
        read_chosen(tmp_path / "eye.mp4", tmp_path / "kept")


STATES = [
    Located(0, Path("/archive/a.mp4"), "changed"),
    Located(1, None, "missing"),
    Located(2, Path("/archive/c.mp4"), "unknown"),
    Located(3, Path("/archive/d.mp4"), "as left"),
    Located(4, Path("/archive/e.mp4"), "moved"),
]


def test_which_recordings_lack_their_file_and_of_which_there_is_doubt() -> None:
    assert lacking(STATES) == [0, 1]
    assert doubtful(STATES) == [0, 2]


@pytest.mark.parametrize(("content", "number"), [("content 2", 1), ("content 1", 0), ("another", 0)])
def test_a_file_is_meant_for_the_recording_whose_content_it_has(content: str, number: int) -> None:
    located = [Located(0, None, "missing"), Located(1, None, "missing")]
    assert meant(chosen(content), two_recordings(), located, otherwise=0) == number


def test_a_file_with_the_content_of_a_recording_that_is_there_is_for_the_one_asked_about() -> None:
    located = [Located(0, None, "missing"), Located(1, Path("/cases/2.mp4"), "as left")]
    assert meant(chosen("content 2"), two_recordings(), located, otherwise=0) == 0
