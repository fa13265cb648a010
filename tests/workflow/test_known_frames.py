"""A recording is read once: from then on its frames are known by its content, wherever it lies."""

from pathlib import Path
from shutil import copy

import pytest

from annotator.errors import MediaError, StoreError
from annotator.media.index.reader import read_index
from annotator.store.fingerprint import fingerprint
from annotator.workflow.known_frames import known
from annotator.workflow.own_folders import cache_folder
from tests.media.films import Films


def test_content_and_frames_of_a_recording(film: Films) -> None:
    content, frames = known(film("h264_b.mp4"))
    assert content == fingerprint(film("h264_b.mp4"))
    assert frames.times.tolist() == read_index(film("h264_b.mp4")).times.tolist()


def test_a_recording_is_read_once_whatever_it_is_called(film: Films, tmp_path: Path, frames_read: list[Path]) -> None:
    first = known(film("h264.mp4"), tmp_path / "kept")
    other = Path(copy(film("h264.mp4"), tmp_path / "called otherwise.mkv"))
    again = known(other, tmp_path / "kept")
    assert frames_read == [film("h264.mp4")]
    assert again.fingerprint == first.fingerprint
    assert (again.frames.times.tolist(), again.frames.end) == (first.frames.times.tolist(), first.frames.end)


def test_another_recording_under_the_same_name_is_read(film: Films, tmp_path: Path, frames_read: list[Path]) -> None:
    path = Path(copy(film("h264.mp4"), tmp_path / "eye.mp4"))
    before = known(path)
    copy(film("ntsc.mp4"), path)
    after = known(path)
    assert frames_read == [path, path]
    assert (len(before.frames), len(after.frames)) == (45, 90)


def test_frames_are_kept_in_the_usual_folder_or_in_the_one_that_is_named(film: Films, tmp_path: Path) -> None:
    known(film("h264.mp4"), tmp_path / "kept")
    assert not cache_folder().exists()
    known(film("h264.mp4"))
    assert [one.name for one in cache_folder().rglob("*.frames")] == [
        one.name for one in (tmp_path / "kept").rglob("*.frames")
    ]


def test_of_what_is_no_recording_it_is_said_what_it_is(tmp_path: Path) -> None:
    (tmp_path / "eye.mp4").write_text("start,end,step\n")
    with pytest.raises(MediaError, match=r"“eye\.mp4” is text, not a recording"):
        known(tmp_path / "eye.mp4")


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises((MediaError, StoreError), match="There is no file"):
        known(tmp_path / "gone.mp4")
