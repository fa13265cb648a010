"""A new case: its recordings in the order given, only read, and each once."""

from fractions import Fraction
from pathlib import Path
from shutil import copy

import pytest

from annotator.errors import InvalidEdit, MediaError
from annotator.store.fingerprint import fingerprint
from annotator.workflow.new_case import new_case, read_recording
from tests.media.films import Films
from tests.strategies import VOCABULARY

NAME = "model-eye.case.jsonld"


def test_the_facts_of_a_recording_are_those_of_its_file(film: Films, tmp_path: Path) -> None:
    """45 frames at 24000/1001 a second last 1,876.875 ms."""
    path = Path(copy(film("h264.mov"), tmp_path / "eye.mov"))
    one = read_recording(path, tmp_path / NAME)
    assert (one.path, one.fingerprint) == ("eye.mov", fingerprint(path))
    assert (one.duration, one.frame_rate) == (1_877, Fraction(24000, 1001))
    assert (one.width, one.height) == (160, 96)


def test_one_whose_frames_stand_unevenly_has_no_rate(film: Films, tmp_path: Path) -> None:
    assert read_recording(film("variable.mp4"), tmp_path / NAME).frame_rate is None


def test_recordings_keep_the_order_in_which_they_are_given(film: Films, tmp_path: Path) -> None:
    given = [film("ntsc.mp4"), film("h264.avi"), film("h264.mp4")]
    case = new_case(given, VOCABULARY, "Model eye", tmp_path / NAME)
    assert [one.path.rpartition("/")[2] for one in case.recordings] == [path.name for path in given]
    assert case.borders == (0, 3_003, 4_803, 6_303)
    assert (case.title, case.vocabulary, case.tags, case.eye) == ("Model eye", VOCABULARY, (), None)


def test_every_case_and_recording_has_an_id_of_its_own(film: Films, tmp_path: Path) -> None:
    made = [new_case([film("h264.mp4"), film("h264.avi")], VOCABULARY, "", tmp_path / NAME) for _ in range(2)]
    ids = [id_ for case in made for id_ in (case.id, *(one.id for one in case.recordings))]
    assert len(set(ids)) == 6


def test_paths_lead_from_the_folder_of_the_case(film: Films, tmp_path: Path) -> None:
    (tmp_path / "films").mkdir()
    (tmp_path / "cases").mkdir()
    path = Path(copy(film("h264.mp4"), tmp_path / "films" / "eye.mp4"))
    case = new_case([path], VOCABULARY, "", tmp_path / "cases" / NAME)
    assert case.recordings[0].path == "../films/eye.mp4"


def test_recordings_are_only_read(film: Films, tmp_path: Path) -> None:
    path = Path(copy(film("h264.mp4"), tmp_path / "eye.mp4"))
    path.chmod(0o444)
    before = path.stat()
    new_case([path], VOCABULARY, "", tmp_path / NAME)
    after = path.stat()
    assert (after.st_mtime_ns, after.st_size, after.st_ino) == (before.st_mtime_ns, before.st_size, before.st_ino)
    assert [one.name for one in tmp_path.iterdir()] == ["eye.mp4"]


def test_the_same_recording_twice_is_refused_with_both_names(film: Films, tmp_path: Path) -> None:
    again = Path(copy(film("h264.mp4"), tmp_path / "copy.mp4"))
    with pytest.raises(InvalidEdit) as refused:
        new_case([film("h264.mp4"), film("h264.avi"), again], VOCABULARY, "", tmp_path / NAME)
    assert str(refused.value).startswith(f"{again} is the same recording as {film('h264.mp4')};")


def test_what_is_no_recording_is_refused(film: Films, tmp_path: Path) -> None:
    (tmp_path / "notes.mp4").write_text("start,end,step\n")
    with pytest.raises(MediaError, match=r"notes\.mp4"):
        new_case([film("h264.mp4"), tmp_path / "notes.mp4"], VOCABULARY, "", tmp_path / NAME)


def test_how_far_the_reading_is_never_goes_back_and_ends_with_the_last(film: Films, tmp_path: Path) -> None:
    told: list[float] = []
    given = [film("mpeg2.ts"), film("h264.mkv")]
    new_case(given, VOCABULARY, "", tmp_path / NAME, lambda done, total: told.append(done / total))
    assert told == sorted(told)
    assert told[-1] == 1
