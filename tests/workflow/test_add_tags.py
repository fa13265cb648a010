"""Tags from a file: a table, captions, a recording's own chapters; all or none, in one change, and nothing twice."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidFile, MediaError, StoreError
from annotator.formats.captions.webvtt import Cue
from annotator.formats.captions.webvtt import dumps as vtt
from annotator.formats.case import casefile
from annotator.formats.tables import tags_csv
from annotator.model import edits
from annotator.model.case import Case, Certainty, Tag
from annotator.model.edits import new_id
from annotator.model.place import Field
from annotator.store.session import Session
from annotator.workflow.add_tags import Added, add_tags, offered, read_tags, without_known
from annotator.workflow.find_recordings import find_recordings
from annotator.workflow.frames import CaseFrames
from annotator.workflow.new_case import new_case
from annotator.workflow.tag_rows import rows_of
from tests.media.films import Films
from tests.strategies import BASE, VOCABULARY
from tests.workflow.conftest import with_chapters

NAME = "model-eye.case.jsonld"
GOOD = "start,end,step\n0.2,0.6,core\n0.6,1,shaving\n"
FAULTY = "start,end,step\n0.2,0.6,core\n0.6,1,stitching\n1,9,core\n"


@pytest.fixture
def case(film: Films, tmp_path: Path) -> Case:
    """Of one recording of 1.8 s, at 25 frames a second."""
    return new_case([film("h264.avi")], VOCABULARY, "", tmp_path / NAME)


@pytest.fixture
def session(case: Case, tmp_path: Path) -> Session:
    return Session.create(tmp_path / NAME, case)


@pytest.fixture
def frames(case: Case, tmp_path: Path) -> CaseFrames:
    return find_recordings(case, tmp_path / NAME).frames


def written(path: Path, text: str, encoding: str = "utf-8") -> Path:
    path.write_text(text, encoding=encoding, newline="")
    return path


def captions(path: Path, *cues: tuple[int, int, str]) -> Path:
    return written(path, vtt(Cue(start, end, text) for start, end, text in cues))


def said(tags: Sequence[Tag], case: Case) -> list[tuple[int, int | None, str]]:
    return [(tag.start, tag.end, edits.name_of(case, tag)) for tag in tags]


# --- all or none ------------------------------------------------------------------------------------------


def test_every_row_becomes_a_tag_in_one_change(session: Session, tmp_path: Path) -> None:
    added = add_tags(session, written(tmp_path / "steps.csv", GOOD))
    assert said(session.case.tags, session.case) == [(200, 600, "Core"), (600, 1_000, "Shaving")]
    assert {tag.id for tag in added.tags} == {tag.id for tag in session.case.tags}
    assert (added.notes, added.faults, added.more) == ((), (), 0)
    session.undo()
    assert session.case.tags == ()
    assert not session.can_undo


def test_a_fault_in_any_row_adds_nothing(session: Session, tmp_path: Path) -> None:
    with pytest.raises(InvalidFile) as refused:
        add_tags(session, written(tmp_path / "steps.csv", FAULTY))
    assert refused.value.what == f"{tmp_path / 'steps.csv'}: nothing was added"
    assert [fault.split(":")[0] for fault in refused.value.faults] == ["row 3", "row 4"]
    assert session.case.tags == ()
    assert not session.can_undo


def test_who_keeps_going_gets_the_good_rows_and_the_faults_of_the_others(session: Session, tmp_path: Path) -> None:
    added = add_tags(session, written(tmp_path / "steps.csv", FAULTY), keep_going=True)
    assert said(session.case.tags, session.case) == [(200, 600, "Core")]
    assert [fault.split(":")[0] for fault in added.faults] == ["row 3", "row 4"]


def test_words_near_to_a_step_are_told_and_added_once(session: Session, tmp_path: Path) -> None:
    table = written(tmp_path / "steps.csv", "start,end,step\n0.2,0.6,shavign\n")
    assert add_tags(session, table).notes == ("“shavign” is taken as “Shaving”, to be confirmed",)
    (tag,) = session.case.tags
    session.do(lambda case: edits.describe(case, [tag.id], confirmed=True))
    again = add_tags(session, table)
    assert (again.tags, again.notes) == ((), ("1 of 1 tags is in the case already; left unchanged",))
    assert session.case.tags[0].words == "shavign"


def test_words_whose_tag_somebody_gave_another_step_are_known_again(session: Session, tmp_path: Path) -> None:
    table = written(tmp_path / "steps.csv", "start,end,step\n0.2,0.6,shavign\n")
    add_tags(session, table)
    (tag,) = session.case.tags
    session.do(lambda case: edits.retag(case, tag.id, f"{BASE}#core"))
    assert add_tags(session, table).tags == ()
    elsewhere = written(tmp_path / "later.csv", "start,end,step\n0.6,1,shavign\n")
    assert len(add_tags(session, elsewhere).tags) == 1, "the same words at another time are another tag"


def test_of_very_many_faults_the_others_are_counted(session: Session, tmp_path: Path) -> None:
    table = written(tmp_path / "steps.csv", "start,end,step\n" + "1,1.5,nothing\n" * 60)
    added = add_tags(session, table, keep_going=True)
    assert (added.tags, len(added.faults), added.more) == ((), 50, 10)
    with pytest.raises(InvalidFile) as refused:
        add_tags(session, table)
    assert (len(refused.value.faults), refused.value.more) == (50, 10)


def test_a_file_that_adds_nothing_is_no_change(session: Session, tmp_path: Path) -> None:
    assert add_tags(session, written(tmp_path / "steps.csv", "start,end,step\n")) == Added((), (), (), 0)
    assert not session.can_undo


def test_a_case_open_for_reading_takes_none(session: Session, tmp_path: Path) -> None:
    session.close()
    with (
        Session.open(tmp_path / NAME, writable=False) as reader,
        pytest.raises(StoreError, match="open read-only"),
    ):
        add_tags(reader, written(tmp_path / "steps.csv", GOOD))


def test_what_is_known_of_the_recordings_is_told_first(session: Session, tmp_path: Path) -> None:
    session.do(lambda case: edits.relocate(case, 0, "gone.avi", ""))
    added = add_tags(session, written(tmp_path / "steps.csv", "start,end,step\n0.21,0.59,core\n0.21,0.59,core\n"))
    assert [note.split(";")[0] for note in added.notes] == [
        "recording 1 (gone.avi) was not found, so times stay as written. Put the file beside the case",
        "1 of 2 tags is a duplicate in the file",
    ]
    assert said(added.tags, session.case) == [(210, 590, "Core")], "without frames times stay as they are written"


def test_the_work_is_told_in_thirds_and_never_goes_back(session: Session, tmp_path: Path) -> None:
    """Reading the file, which is nothing for a table; the search for a recording that is missing; and the rows."""
    session.do(lambda case: edits.relocate(case, 0, "gone.avi", "sha256-samples-1:5:0"))
    table = written(tmp_path / "steps.csv", "start,end,step\n" + "1,1.5,core\n" * 1_000)
    told: list[float] = []
    add_tags(session, table, progress=lambda done, total: told.append(done / total))
    assert told == sorted(told)
    assert [told[0], told[-1]] == pytest.approx([1 / 3, 5 / 6])


# --- which file is what -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["steps.csv", "steps.TSV", "steps.txt"])
def test_a_table_is_known_by_its_ending(session: Session, tmp_path: Path, name: str) -> None:
    assert len(add_tags(session, written(tmp_path / name, GOOD.replace(",", "\t"))).tags) == 2


@pytest.mark.parametrize("name", ["came.vtt", "came.VTT"])
def test_captions_are_known_by_their_ending(session: Session, tmp_path: Path, name: str) -> None:
    add_tags(session, captions(tmp_path / name, (200, 600, "Core"), (600, 1_000, "shaving")))
    assert said(session.case.tags, session.case) == [(200, 600, "Core"), (600, 1_000, "Shaving")]


def test_subtitles_are_captions_too(session: Session, tmp_path: Path) -> None:
    add_tags(session, written(tmp_path / "came.srt", "1\n00:00:00,200 --> 00:00:00,600\nCore\n"))
    assert said(session.case.tags, session.case) == [(200, 600, "Core")]


def test_anything_else_is_asked_for_its_own_chapters(session: Session, film: Films, tmp_path: Path) -> None:
    inside = with_chapters(film("h264.mp4"), tmp_path / "with.mp4", (0, 600, "Core"), (600, 1_000, "Shaving"))
    add_tags(session, inside)
    assert said(session.case.tags, session.case) == [(0, 600, "Core"), (600, 1_000, "Shaving")]


def test_what_is_neither_is_refused(session: Session, tmp_path: Path) -> None:
    with pytest.raises(MediaError):
        add_tags(session, written(tmp_path / "steps.doc", GOOD))
    with pytest.raises(StoreError, match="There is no file"):
        add_tags(session, tmp_path / "gone.csv")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_table_is_read_in_the_encodings_that_spreadsheets_write(
    session: Session, tmp_path: Path, encoding: str
) -> None:
    table = written(tmp_path / "steps.csv", "start,end,step,note\n1,1.5,core,größer\n", encoding)
    assert [tag.note for tag in add_tags(session, table).tags] == ["größer"]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("start,end,step\n1,2,core\n".encode("utf-16-le"), "it holds zero bytes, as text in UTF-16 does"),
        (b"start,end,step\n1,2,core\n1,2,gr\xf6\xdfer\n", "line 3 is not UTF-8 text"),
        (b"\xf6", "line 1 is not UTF-8 text"),
        (b"\xff\xfea", "line 1 is not UTF-8 text"),
    ],
)
def test_a_table_in_another_encoding_is_refused_with_what_to_do(
    session: Session, tmp_path: Path, data: bytes, says: str
) -> None:
    (tmp_path / "steps.csv").write_bytes(data)
    with pytest.raises(InvalidFile) as refused:
        add_tags(session, tmp_path / "steps.csv")
    assert refused.value.what == str(tmp_path / "steps.csv")
    (fault,) = refused.value.faults
    assert fault.startswith(says)
    assert fault.endswith("save the table as “CSV UTF-8”")


# --- what the case says already -------------------------------------------------------------------------


def test_what_the_case_says_already_is_left(session: Session, tmp_path: Path) -> None:
    table = written(tmp_path / "steps.csv", GOOD)
    first = add_tags(session, table).tags
    again = add_tags(session, table)
    assert again.tags == ()
    assert again.notes == ("2 of 2 tags are in the case already; left unchanged",)
    assert {tag.id for tag in session.case.tags} == {tag.id for tag in first}


def test_one_that_is_there_and_one_that_stands_twice_are_told_apart(session: Session, tmp_path: Path) -> None:
    add_tags(session, written(tmp_path / "first.csv", "start,end,step\n0.2,0.6,core\n"))
    added = add_tags(session, written(tmp_path / "steps.csv", GOOD + "0.6,1,Shaving\n1,1.4,core\n"))
    assert said(added.tags, session.case) == [(600, 1_000, "Shaving"), (1_000, 1_400, "Core")]
    assert added.notes == (
        "1 of 4 tags is in the case already; left unchanged",
        "1 of 4 tags is a duplicate in the file; added once",
    )


ONE = Tag("urn:t:1", f"{BASE}#core", 200, 600)


@pytest.mark.parametrize(
    "other",
    [
        {"concept": f"{BASE}#bimanual"},
        {"start": 240},
        {"end": 640},
        {"end": None},
        {"performer": "trainee"},
        {"place": frozenset([Field(1, "posterior")])},
        {"certainty": Certainty.PROBABLE},
        {"note": "why"},
    ],
    ids=lambda other: next(iter(other)),
)
def test_a_tag_that_differs_in_anything_is_another(case: Case, frames: CaseFrames, other: dict[str, object]) -> None:
    tagged = replace(case, tags=(ONE,))
    new = replace(ONE, id=new_id(), **other)
    assert without_known([new], tagged, frames) == ((new,), ())


@pytest.mark.parametrize("same", [{"id": "urn:t:2"}, {"start": 205}, {"end": 590}, {"author": "urn:somebody"}])
def test_a_tag_that_says_the_same_on_the_same_frames_is_no_other(
    case: Case, frames: CaseFrames, same: dict[str, object]
) -> None:
    tagged = replace(case, tags=(replace(ONE, **same),))
    assert without_known([ONE], tagged, frames)[0] == ()


# --- read, and not added ------------------------------------------------------------------------------------


def test_a_file_can_be_read_without_adding_anything(case: Case, frames: CaseFrames, tmp_path: Path) -> None:
    would_add = read_tags(written(tmp_path / "steps.csv", FAULTY), case, frames)
    assert said(would_add.tags, case) == [(200, 600, "Core")]
    assert len(would_add.faults) == 2


def test_captions_beside_a_recording_are_offered(case: Case, frames: CaseFrames, tmp_path: Path) -> None:
    recording = tmp_path / "eye.avi"
    of_eye = captions(tmp_path / "eye.vtt", (200, 600, "Core"), (600, 1_000, "somebody speaks"))
    captions(tmp_path / "other.vtt", (200, 600, "Core"))
    (offer,) = offered(case, frames, [recording, tmp_path / "without.mp4"])
    assert offer.source == of_eye
    assert said(offer.would_add.tags, case) == [(200, 600, "Core")]
    assert len(offer.would_add.faults) == 1


def test_both_kinds_of_captions_are_offered(case: Case, frames: CaseFrames, tmp_path: Path) -> None:
    subtitles = written(tmp_path / "eye.srt", "1\n00:00:00,200 --> 00:00:00,600\nCore\n")
    web = captions(tmp_path / "eye.vtt", (200, 600, "Core"))
    assert [one.source for one in offered(case, frames, [tmp_path / "eye.avi"])] == [subtitles, web]


def test_a_case_that_is_tagged_is_offered_nothing(case: Case, frames: CaseFrames, tmp_path: Path) -> None:
    captions(tmp_path / "eye.vtt", (600, 1_000, "Shaving"))
    assert list(offered(replace(case, tags=(ONE,)), frames, [tmp_path / "eye.avi"])) == []


@pytest.mark.parametrize("text", ["WEBVTT\n\n00:00.200 --> 00:00.600\nGood morning\n", "no captions", ""])
def test_captions_that_name_no_step_are_passed_over(case: Case, frames: CaseFrames, tmp_path: Path, text: str) -> None:
    written(tmp_path / "eye.vtt", text)
    assert list(offered(case, frames, [tmp_path / "eye.avi"])) == []


def test_captions_that_are_only_near_to_steps_may_be_speech_and_are_passed_over(
    case: Case, frames: CaseFrames, tmp_path: Path
) -> None:
    captions(tmp_path / "eye.vtt", (200, 600, "shavign"))
    assert read_tags(tmp_path / "eye.vtt", case, frames).tags
    assert list(offered(case, frames, [tmp_path / "eye.avi"])) == []


def test_what_can_not_be_read_is_passed_over_and_the_next_is_offered(
    case: Case, frames: CaseFrames, tmp_path: Path
) -> None:
    (tmp_path / "eye.srt").write_bytes(b"1\n00:00:00,200 --> 00:00:99,600\nCore\n")
    (tmp_path / "folder.vtt").mkdir()
    web = captions(tmp_path / "eye.vtt", (200, 600, "Core"))
    found = offered(case, frames, [tmp_path / "folder.mp4", tmp_path / "eye.avi"])
    assert [one.source for one in found] == [web]


def test_a_note_of_several_lines_is_the_same_in_the_table_and_in_the_case_file(case: Case, frames: CaseFrames) -> None:
    note = 'calm, then "less so"\n\n=the end'
    concept = VOCABULARY.concepts[0].iri
    tagged = edits.add(case, [Tag(new_id(), concept, 0, 400, note=note)]).case
    assert casefile.loads(casefile.dumps(tagged, 0))[0].tags[0].note == note
    (row,) = tags_csv.loads(tags_csv.dumps(rows_of(tagged)))
    assert row.note == note
