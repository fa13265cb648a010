"""The order of recordings by name, and which files of a folder they are."""

import itertools
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import MediaError, StoreError
from annotator.model.recording import ENDINGS
from annotator.workflow import recording_files
from annotator.workflow.recording_files import in_natural_order, recordings_in


@pytest.mark.parametrize(
    "names",
    [
        ["1.mp4", "2.mp4", "10.mp4", "11.mp4"],
        ["eye part 1.mp4", "eye part 2.mp4", "eye part 10.mp4"],
        ["A1.mp4", "a2.MP4", "A10.mp4"],
        ["x009.mp4", "x10.mp4", "x011.mp4"],
        ["eye.mp4", "eye 2.mp4", "eye 10.mkv"],
        ["eye.mp4", "eye1.mp4", "eye2.mp4"],
        ["eye.mp4", "eye (1).mp4", "eye_2.mp4"],
        ["²1.mp4", "²2.mp4", "²10.mp4"],
        ["7.mp4", "eye.mp4"],
        ["eye 12.mp4", "eye left.mp4"],
    ],
)
def test_figures_count_as_numbers(names: list[str]) -> None:
    for order in itertools.permutations(names):
        assert [path.name for path in in_natural_order(map(Path, order))] == names


@given(st.lists(st.text(st.characters(exclude_characters="/\0", exclude_categories=["Cs"]), min_size=1), max_size=6))
def test_any_names_have_one_order(names: list[str]) -> None:
    paths = [Path(f"/videos/{name}x") for name in names]
    assert in_natural_order(paths) == in_natural_order(reversed(paths))
    assert sorted(in_natural_order(paths)) == sorted(paths)


def test_a_number_longer_than_any_other_is_a_number_too() -> None:
    paths = [Path("1" * 10_000), Path("2")]
    assert in_natural_order(paths) == paths[::-1]


def test_of_a_folder_the_recordings_are_taken(tmp_path: Path) -> None:
    for name in ("part 10.MP4", "part 2.mp4", "part 2.vtt", ".part 3.mp4", "notes.txt"):
        (tmp_path / name).touch()
    (tmp_path / "deeper.mp4").mkdir()
    assert [path.name for path in recordings_in(tmp_path)] == ["part 2.mp4", "part 10.MP4"]


def test_a_folder_without_any_and_one_that_is_gone_are_said(tmp_path: Path) -> None:
    with pytest.raises(MediaError, match="no recordings in the folder"):
        recordings_in(tmp_path)
    with pytest.raises(StoreError, match="can't be read"):
        recordings_in(tmp_path / "gone")


@pytest.mark.parametrize("ending", [*ENDINGS, ".MP4", ".MtS"])
def test_every_ending_of_a_recorder_counts_in_any_letter_case(ending: str, tmp_path: Path) -> None:
    (tmp_path / f"eye{ending}").touch()
    assert recordings_in(tmp_path) == [tmp_path / f"eye{ending}"]


@pytest.mark.parametrize("name", [".eye.mp4", "eye.mp4.part", "eye.mp3", "eye.srt", "eye", "mp4", ".mp4"])
def test_what_is_hidden_or_no_recording_does_not_count(name: str, tmp_path: Path) -> None:
    (tmp_path / name).touch()
    with pytest.raises(MediaError, match="There are no recordings in the folder “"):
        recordings_in(tmp_path)


def test_a_link_to_a_recording_is_one_and_a_link_to_nothing_is_not(tmp_path: Path) -> None:
    (tmp_path / "films").mkdir()
    (tmp_path / "films" / "eye.mp4").touch()
    (tmp_path / "linked.mp4").symlink_to(tmp_path / "films" / "eye.mp4")
    (tmp_path / "dangling.mp4").symlink_to(tmp_path / "films" / "gone.mp4")
    assert recordings_in(tmp_path) == [tmp_path / "linked.mp4"]


def test_more_than_a_case_may_have_are_refused_and_as_many_are_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recording_files, "MOST", 3)
    for number in range(3):
        (tmp_path / f"{number}.mp4").touch()
    assert len(recordings_in(tmp_path)) == 3
    (tmp_path / "3.mp4").touch()
    with pytest.raises(MediaError, match="contains 4 recordings; select those of one operation"):
        recordings_in(tmp_path)


def test_names_that_differ_in_letter_case_alone_have_one_order() -> None:
    """On some systems both may lie in one folder."""
    paths = [Path("Eye.mp4"), Path("eye.mp4"), Path("EYE.mp4")]
    assert len({tuple(in_natural_order(order)) for order in itertools.permutations(paths)}) == 1


def test_the_name_counts_before_its_ending() -> None:
    paths = [Path("1.mkv"), Path("1.mp4"), Path("2.avi")]
    assert in_natural_order(reversed(paths)) == paths
