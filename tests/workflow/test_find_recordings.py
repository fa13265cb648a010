"""The frames of a case's recordings: kept by what is in the files now, not by what a case says of them."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from shutil import copy

import pytest
from msgspec.structs import replace

from annotator.media.cache import index_cache
from annotator.media.index.reader import read_index
from annotator.model.case import Case
from annotator.progress import silent
from annotator.store.fingerprint import fingerprint
from annotator.workflow.find_recordings import Found, find_recordings
from tests.media.films import Films
from tests.publish.numbered import case_of, recording

NAME = "model-eye.case.jsonld"


def saying(case: Case, content: str, **more: object) -> Case:
    return replace(case, recordings=(replace(case.recordings[0], fingerprint=content, **more),))


@pytest.mark.parametrize("content", ["", "some-later-scheme:5:abc"])
def test_cases_that_do_not_say_what_is_in_their_files_share_no_frames(tmp_path: Path, content: str) -> None:
    cache, found = tmp_path / "cache", []
    for name, rate in (("a", "25"), ("b", "30")):
        (tmp_path / name).mkdir()
        path = recording(tmp_path / name / "eye.mp4", 30, rate)
        case = saying(case_of(path), content)
        found.append(find_recordings(case, tmp_path / name / NAME, kept_in=cache))
    assert [one.frames.nearest(41) for one in found] == [40, 34]
    assert [one.located[0].state for one in found] == ["unknown", "unknown"]
    assert all("may not be the one that was tagged" in one.warnings[0] for one in found)


@pytest.mark.parametrize(
    "said", [{"duration": 20_000}, {"width": 640, "height": 360}, {"frame_rate": 30}], ids=["length", "size", "rate"]
)
def test_what_does_not_fit_the_rest_that_the_case_says_is_another_recording(
    tmp_path: Path, said: dict[str, object]
) -> None:
    path = recording(tmp_path / "eye.mp4", 30, "25")
    found = find_recordings(saying(case_of(path), "", **said), tmp_path / NAME, kept_in=tmp_path / "cache")
    assert found.located[0].state == "changed"
    assert not found.frames.has(0)
    assert "has changed since it was tagged" in found.warnings[0]


def test_the_content_found_is_handed_on(tmp_path: Path) -> None:
    path = recording(tmp_path / "eye.mp4", 30, "25")
    found = find_recordings(case_of(path), tmp_path / NAME, kept_in=tmp_path / "cache")
    assert [(one.state, one.content) for one in found.located] == [("as left", fingerprint(path))]
    assert found.warnings == ()


# --- several recordings, each in its own state ------------------------------------------------------------


@pytest.fixture
def pair(film: Films, tmp_path: Path) -> Case:
    """Two recordings, of 1.5 s and of 3 s, beside their case."""
    paths = [Path(copy(film(name), tmp_path / name)) for name in ("h264.mp4", "ntsc.mp4")]
    return case_of(*paths)


@pytest.fixture
def find(tmp_path: Path) -> Callable[..., Found]:
    def finds(case: Case, *folders: Path) -> Found:
        return find_recordings(case, tmp_path / NAME, folders, silent, tmp_path / "cache")

    return finds


def test_each_recording_has_its_own_frames(pair: Case, tmp_path: Path, find: Callable[..., Found]) -> None:
    found = find(pair)
    assert [one.path for one in found.located] == [tmp_path / "h264.mp4", tmp_path / "ntsc.mp4"]
    for number, name in enumerate(("h264.mp4", "ntsc.mp4")):
        index = found.frames.index(number)
        assert index is not None
        assert index.times.tolist() == read_index(tmp_path / name).times.tolist()
    assert (found.frames.nearest(1_540), found.frames.nearest(1_500)) == (1_534, 1_500)
    assert (found.warnings, found.unreadable) == ((), ())


def test_one_that_was_moved_is_found_by_its_content(pair: Case, tmp_path: Path, find: Callable[..., Found]) -> None:
    (tmp_path / "deeper").mkdir()
    moved = (tmp_path / "ntsc.mp4").rename(tmp_path / "deeper" / "other.mp4")
    found = find(pair)
    assert [one.state for one in found.located] == ["as left", "moved"]
    assert found.frames.has(1)
    assert found.warnings == (f"recording 2 (ntsc.mp4) was found at {moved}",)
    assert found.unreadable == ()


def test_it_is_looked_for_in_the_folders_that_are_named(
    pair: Case, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, find: Callable[..., Found]
) -> None:
    far = tmp_path_factory.mktemp("far")
    copy(tmp_path / "ntsc.mp4", far / "ntsc.mp4")
    (tmp_path / "ntsc.mp4").unlink()
    assert not find(pair).frames.has(1)
    assert find(pair, far).located[1].path == far / "ntsc.mp4"


def test_one_that_is_missing_is_said_and_the_other_has_its_frames(
    pair: Case, tmp_path: Path, find: Callable[..., Found]
) -> None:
    (tmp_path / "h264.mp4").unlink()
    found = find(pair)
    assert [one.state for one in found.located] == ["missing", "as left"]
    assert [found.frames.has(number) for number in (0, 1)] == [False, True]
    (says,) = found.warnings
    assert says == ("recording 1 (h264.mp4) was not found, so times stay as written. Put the file beside the case")
    assert found.unreadable == ()


def test_one_whose_content_is_another_is_said_and_not_read(
    pair: Case, film: Films, tmp_path: Path, find: Callable[..., Found]
) -> None:
    copy(film("h264.mov"), tmp_path / "ntsc.mp4")
    found = find(pair)
    assert [(one.state, one.content) for one in found.located][1] == ("changed", "")
    assert not found.frames.has(1)
    assert found.warnings == ("recording 2 (ntsc.mp4) has changed since it was tagged; its tags stay as they are",)


def test_one_that_can_not_be_read_any_more_is_said_apart(
    pair: Case, tmp_path: Path, find: Callable[..., Found]
) -> None:
    """A case made by a later version may know a recording that this one can't read."""
    (tmp_path / "ntsc.mp4").write_bytes(b"\0" * 5_000)
    recordings = (pair.recordings[0], replace(pair.recordings[1], fingerprint=fingerprint(tmp_path / "ntsc.mp4")))
    found = find(replace(pair, recordings=recordings))
    assert [one.state for one in found.located] == ["as left", "as left"]
    assert [found.frames.has(number) for number in (0, 1)] == [True, False]
    assert len(found.unreadable) == 1
    assert "ntsc.mp4" in found.unreadable[0]
    assert found.warnings == found.unreadable


def test_warnings_on_places_come_before_what_can_not_be_read(
    pair: Case, tmp_path: Path, find: Callable[..., Found]
) -> None:
    (tmp_path / "h264.mp4").write_bytes(b"\0" * 5_000)
    (tmp_path / "ntsc.mp4").unlink()
    first = replace(pair.recordings[0], fingerprint=fingerprint(tmp_path / "h264.mp4"))
    found = find(replace(pair, recordings=(first, pair.recordings[1])))
    assert [("was not found" in says) for says in found.warnings] == [True, False]
    assert found.warnings[1:] == found.unreadable


@pytest.mark.parametrize(
    ("said", "state"),
    [
        ({}, "unknown"),
        ({"duration": 2_500}, "unknown"),
        ({"duration": 2_501}, "changed"),
        ({"duration": 500}, "unknown"),
        ({"duration": 499}, "changed"),
        ({"width": 160, "height": 96, "frame_rate": Fraction(30)}, "unknown"),
        ({"width": 160, "height": 90}, "changed"),
        ({"frame_rate": Fraction(30000, 1001)}, "changed"),
    ],
)
def test_a_file_may_be_the_recording_that_an_old_case_does_not_know_by_content(
    pair: Case, find: Callable[..., Found], said: dict[str, object], state: str
) -> None:
    """Of 1.5 s: within a second of its length, and of its size and rate where the case says them."""
    found = find(replace(pair, recordings=(replace(pair.recordings[0], fingerprint="", **said), pair.recordings[1])))
    assert (found.located[0].state, found.frames.has(0)) == (state, state == "unknown")


def test_frames_that_are_known_are_not_read_again(
    pair: Case, find: Callable[..., Found], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = find(pair)
    monkeypatch.delattr(index_cache, "read_index")
    after = find(pair)
    assert [after.frames.nearest(at) for at in range(0, 4_500, 7)] == [
        before.frames.nearest(at) for at in range(0, 4_500, 7)
    ]


def test_how_far_the_work_is_never_goes_back(pair: Case, film: Films, tmp_path: Path) -> None:
    late = Path(copy(film("mpeg2.ts"), tmp_path / "late.ts"))
    case = replace(pair, recordings=(*pair.recordings, *case_of(late).recordings))
    (tmp_path / "h264.mp4").unlink()
    told: list[float] = []
    find_recordings(
        case, tmp_path / NAME, progress=lambda done, total: told.append(done / total), kept_in=tmp_path / "cache"
    )
    assert told == sorted(told)
    assert 0 <= told[0] <= told[-1] <= 1
