"""Chapters that came with a recording: which steps their titles name, and from where their times count."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from annotator.errors import InvalidFile, MediaError, StoreError
from annotator.formats.tables.tags_csv import TagRow
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.store.fingerprint import fingerprint
from annotator.workflow.read_chapters import LARGEST, rows_from_captions, rows_from_container
from tests.media.ebml import CHAPTERS, atom, edition, element, title, with_list
from tests.media.films import Films, ffmpeg
from tests.strategies import VOCABULARY
from tests.vocabulary.drawn_by_hand import concept, vocabulary
from tests.workflow.conftest import with_chapters

ORDINARY = vocabulary(
    concept("tamponade", facet="phase"),
    concept("gas"),
    concept("lift", facet="technique", label="Lift, then shave"),
    concept("shave"),
)


def over(*paths: str, words: object = ORDINARY) -> Case:
    """Recordings of ten seconds each."""
    recordings = tuple(Recording(f"urn:r:{path}", path, "", 10_000) for path in paths)
    return Case("urn:c", "", words, recordings)  # type: ignore[arg-type] # a vocabulary


def captions(folder: Path, *titles: str, name: str = "eye.vtt") -> Path:
    blocks = [f"00:0{number}.000 --> 00:0{number + 1}.000\n{title}" for number, title in enumerate(titles)]
    path = folder / name
    path.write_text("\n\n".join(["WEBVTT", *blocks]) + "\n", encoding="utf-8")
    return path


def times(rows: Sequence[TagRow]) -> list[tuple[str, str, str]]:
    return [(row.start, row.end, row.step) for row in rows]


@pytest.mark.parametrize(
    ("words", "steps"),
    [
        ("Gas", ["Gas"]),
        ("Tamponade: Gas", ["Tamponade", "Gas"]),
        ("tamponade, GAS", ["tamponade", "GAS"]),
        ("Tamponade: Gas, Shave", ["Tamponade", "Gas", "Shave"]),
        ("Tamponade:\n  Gas", ["Tamponade", "Gas"]),
        ("Lift, then shave", ["Lift, then shave"]),
        ("Tamponade: air", ["Tamponade: air"]),
        ("Tamponade:Gas", ["Tamponade:Gas"]),
        ("Good morning: everybody", ["Good morning: everybody"]),
        ("–", []),
        ("...", []),
        ("3", ["3"]),
    ],
)
def test_a_title_names_itself_or_the_steps_in_it(tmp_path: Path, words: str, steps: list[str]) -> None:
    """Parts count only where all of them are known; a title of signs alone is a gap that had to be filled."""
    rows, _ = rows_from_captions(captions(tmp_path, words), over("eye.mp4"))
    assert [row.step for row in rows] == steps


def test_rows_say_the_number_of_their_chapter_also_behind_a_gap(tmp_path: Path) -> None:
    rows, _ = rows_from_captions(captions(tmp_path, "Gas", "–", "Tamponade: Gas"), over("eye.mp4"))
    assert [row.where for row in rows] == ["chapter 1", "chapter 3", "chapter 3"]
    assert times(rows)[1:] == [
        ("00:00:02.000", "00:00:03.000", "Tamponade"),
        ("00:00:02.000", "00:00:03.000", "Gas"),
    ]


@pytest.mark.parametrize(
    ("recordings", "start", "note"),
    [
        (["eye.mp4"], "00:00:00.000", ()),
        (["eye.mp4", "b.mp4"], "00:00:00.000", ()),
        (["a.mp4", "b.mp4"], "00:00:00.000", ()),
        (["a.mp4", "films/eye.mkv"], "00:00:10.000", ("its times count from the start of recording 2",)),
        (["a.mp4", "b.mp4", "eye.mp4"], "00:00:20.000", ("its times count from the start of recording 3",)),
        (["a.mp4", "eye.mp4", "eye.mkv"], "00:00:10.000", ("its times count from the start of recording 2",)),
    ],
)
def test_of_several_recordings_captions_count_from_the_one_of_their_name(
    tmp_path: Path, recordings: list[str], start: str, note: tuple[str, ...]
) -> None:
    rows, notes = rows_from_captions(captions(tmp_path, "Gas"), over(*recordings))
    assert [row.start for row in rows] == [start]
    assert tuple(one.split(",")[0] for one in notes) == note


def test_what_was_guessed_in_captions_is_told_before(tmp_path: Path) -> None:
    path = tmp_path / "eye.srt"
    path.write_bytes("1\n00:00:00,000 --> 00:00:01,000\ngrö\xdfer\n".encode("latin-1"))
    rows, notes = rows_from_captions(path, over("a.mp4", "eye.mp4"))
    assert [row.step for row in rows] == ["größer"]
    assert len(notes) == 2
    assert notes[1].startswith("its times count from the start of recording 2")


def test_captions_with_any_fault_give_no_row(tmp_path: Path) -> None:
    path = tmp_path / "eye.vtt"
    path.write_text("WEBVTT\n\n00:01.000 --> 00:65.000\nGas\n\n00:02.000 --> 00:03.000\nShave\n\n0 --> 1\nGas\n")
    with pytest.raises(InvalidFile) as refused:
        rows_from_captions(path, over("eye.mp4"))
    assert refused.value.what == str(path)
    assert len(refused.value.faults) == 2


def test_captions_of_no_end_are_refused_unread(tmp_path: Path) -> None:
    with (tmp_path / "eye.vtt").open("wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(StoreError, match="larger than 32 MB"):
        rows_from_captions(tmp_path / "eye.vtt", over("eye.mp4"))


# --- inside a recording -----------------------------------------------------------------------------------


def test_chapters_inside_count_from_where_their_recording_stands(film: Films, tmp_path: Path) -> None:
    path = with_chapters(film("h264.mp4"), tmp_path / "with.mp4", (0, 600, "Core"), (600, 1_000, "Shaving"))
    recordings = (
        Recording("urn:r:1", "first.mp4", "sha256-samples-1:5:0", 10_000),
        Recording("urn:r:2", "called otherwise.mp4", fingerprint(path), 1_500),
    )
    rows, notes = rows_from_container(path, Case("urn:c", "", VOCABULARY, recordings))
    assert times(rows) == [("00:00:10.000", "00:00:10.600", "Core"), ("00:00:10.600", "00:00:11.000", "Shaving")]
    assert [row.where for row in rows] == ["chapter 1", "chapter 2"]
    assert notes == ()


def test_those_of_a_file_that_is_not_of_the_case_count_from_its_start(film: Films, tmp_path: Path) -> None:
    """Of its name it may be, of its content it is not: a name says nothing of what is in a file."""
    path = with_chapters(film("h264.mkv"), tmp_path / "eye.mkv", (200, 600, "Core"))
    rows, _ = rows_from_container(path, over("a.mkv", "eye.mkv", words=VOCABULARY))
    assert times(rows) == [("00:00:00.200", "00:00:00.600", "Core")]


def test_a_recording_without_any_is_told_what_else_can_be_given(film: Films) -> None:
    with pytest.raises(InvalidFile, match=r"there are no chapters inside; give a \.csv, \.vtt or \.srt file"):
        rows_from_container(film("h264.mp4"), over("eye.mp4"))


@pytest.fixture
def streamed(film: Films, tmp_path: Path) -> Path:
    """A recording written as to a pipe, so that a list of chapters can be put into it."""
    path = tmp_path / "streamed.mkv"
    ffmpeg("-i", str(film("h264.mp4")), "-c", "copy", "-f", "matroska", "-seekable", "0", f"file:{path}")
    return path


HIDDEN = atom(600, 1_000, title("Shaving"), hidden=True)


def test_chapters_that_are_left_out_are_said(streamed: Path, tmp_path: Path) -> None:
    chapters = element(CHAPTERS, edition(atom(200, 600, title("Core")), HIDDEN))
    partly = with_list(streamed, tmp_path / "partly.mkv", chapters)
    rows, notes = rows_from_container(partly, over("eye.mp4", words=VOCABULARY))
    assert [row.step for row in rows] == ["Core"]
    assert notes == ("1 chapter hidden, left out",)


def test_where_all_are_left_out_that_is_why(streamed: Path, tmp_path: Path) -> None:
    hidden = with_list(streamed, tmp_path / "hidden.mkv", element(CHAPTERS, edition(HIDDEN)))
    with pytest.raises(InvalidFile) as refused:
        rows_from_container(hidden, over("eye.mp4", words=VOCABULARY))
    assert refused.value.faults == ("1 chapter hidden, left out",)


def test_what_is_no_recording_is_said(tmp_path: Path) -> None:
    (tmp_path / "eye.mp4").write_text("start,end,step\n")
    with pytest.raises(MediaError):
        rows_from_container(tmp_path / "eye.mp4", over("eye.mp4"))
