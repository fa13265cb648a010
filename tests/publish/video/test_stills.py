"""Stills: the very frame that was tagged, read back from the PNG by its bar code."""

from pathlib import Path

import pytest

from annotator.errors import Cancelled, StoreError, UnknownName
from annotator.publish.video.stills import write_stills
from annotator.publish.video.tag_selection import file_name, tags_of
from tests.measure.cases import tag
from tests.publish.numbered import case_of, frames_of, number_on, recording

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "30")


@pytest.fixture
def film(tmp_path: Path) -> Path:
    return recording(tmp_path / "eye.mp4", 60, "30000/1001", *X264)


def test_a_still_shows_the_frame_at_the_tags_start(film: Path, tmp_path: Path) -> None:
    case = case_of(film, tags=(frames_of(film, "core", 7, 20), frames_of(film, "shave", 41, 50)))
    out = tmp_path / "out"
    out.mkdir()
    written, notes = write_stills(case, tmp_path / "c.jsonld", tags_of(case), out)
    assert notes == ()
    assert [number_on(path) for path in written] == [7, 41]
    assert [path.name for path in written] == ["00-00-00.234-core.png", "00-00-01.369-shave.png"]
    assert set(out.iterdir()) == set(written)
    assert not any(b"Nescio" in path.read_bytes() for path in written)


def test_a_moment_has_one_too_and_a_tag_beyond_the_end_has_none(film: Path, tmp_path: Path) -> None:
    at = frames_of(film, "core", 30, 31).start
    case = case_of(film, tags=(tag("bleeding", at, at), tag("bleeding", 90_000, 90_000)))
    written, notes = write_stills(case, tmp_path / "c.jsonld", tags_of(case, "event"), tmp_path)
    assert [number_on(path) for path in written] == [30]
    assert "outside the recording" in notes[0]


def test_names_of_files_are_safe_and_differ(film: Path) -> None:
    case = case_of(film)
    one = tag("core", 1_000, 2_000)
    assert file_name(case, one, ".png") == "00-00-01.000-core.png"
    assert file_name(case, one, ".png", {"00-00-01.000-core.png"}) == "00-00-01.000-core-2.png"
    stranger = tag("../../x", 0, 1)
    assert file_name(case, stranger, ".png") == "00-00-00.000-unknown.png"


def test_tags_are_chosen_by_facet_or_by_step(film: Path) -> None:
    case = case_of(film, tags=(tag("core", 0, 5), tag("shave", 5, 9), tag("bimanual", 1, 2)))
    assert [one.start for one in tags_of(case)] == [0, 5]
    assert [one.start for one in tags_of(case, step="shave")] == [5]
    with pytest.raises(UnknownName, match="Core vitrectomy"):
        tags_of(case, step="cor")


def test_stopping_leaves_no_half_file(film: Path, tmp_path: Path) -> None:
    case = case_of(film, tags=(frames_of(film, "core", 7, 20),))

    def stop(_done: float, _total: float) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_stills(case, tmp_path / "c.jsonld", case.tags, tmp_path, progress=stop)
    assert list(tmp_path.iterdir()) == [film]


def test_as_jpeg_too(film: Path, tmp_path: Path) -> None:
    case = case_of(film, tags=(frames_of(film, "core", 7, 20), frames_of(film, "core", 30, 40)))
    written, _ = write_stills(case, tmp_path / "c.jsonld", case.tags, tmp_path, "jpg")
    assert [path.name for path in written] == ["00-00-00.234-core.jpg", "00-00-01.001-core.jpg"]
    assert [number_on(path) for path in written] == [7, 30]
    assert not any(b"Exif" in path.read_bytes() or b"escio" in path.read_bytes() for path in written)


def test_a_folder_that_cannot_be_written_to_is_said(film: Path, tmp_path: Path) -> None:
    case = case_of(film, tags=(frames_of(film, "core", 7, 20),))
    with pytest.raises(StoreError, match="make it first"):
        write_stills(case, tmp_path / "c.jsonld", case.tags, tmp_path / "nowhere")
