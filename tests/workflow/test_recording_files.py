"""The order of recordings by name, and which files of a folder they are."""

import itertools
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import MediaError, StoreError
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
