"""Kept files: whole or not believed, the least recently used gone first, nobody else's ever touched."""

import os
import sys
from pathlib import Path

import numpy as np
import pytest

from annotator.media.cache.cache_files import keep, kept, make_room, mark_used, place, used_bytes

ABOUT = {"version": 1}


def put(folder: Path, name: str, ending: str, size: int, used: int) -> Path:
    """A kept file of so many bytes that was used at a time, in seconds."""
    path = place(folder, name, ending)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(bytes(size))
    os.utime(path, (used, used))
    return path


def there(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file()}


def test_arrays_come_back_only_for_what_they_are_about(tmp_path: Path) -> None:
    path = place(tmp_path / "cache", "sha256:one", ".film")
    keep(path, ABOUT, {"times": np.arange(5), "none": np.zeros(0)})
    found = kept(path, ABOUT)
    assert found is not None
    assert found["times"].tolist() == [0, 1, 2, 3, 4]
    assert len(found["none"]) == 0
    assert kept(path, {"version": 2}) is None
    assert kept(tmp_path / "other", ABOUT) is None


def test_names_hold_nothing_of_the_recording(tmp_path: Path) -> None:
    """A fingerprint may hold anything, and is no path."""
    assert place(tmp_path, "../../x", ".mp4").parent == tmp_path
    assert place(tmp_path, "one", ".mp4") != place(tmp_path, "two", ".mp4")


def test_all_kinds_below_the_folder_go_by_when_they_were_used(tmp_path: Path) -> None:
    oldest = put(tmp_path / "copies", "a", ".mp4", 400, 1_000)
    strip = put(tmp_path, "a", ".film", 100, 2_000)
    sound = put(tmp_path / "deep" / "er", "b", ".sound", 100, 3_000)
    newest = put(tmp_path, "b", ".mkv", 300, 4_000)
    make_room(tmp_path, 900)
    assert all(path.exists() for path in (oldest, strip, sound, newest))
    make_room(tmp_path, 500)
    assert [path.exists() for path in (oldest, strip, sound, newest)] == [False, True, True, True]
    mark_used(strip)
    make_room(tmp_path, 400)
    assert [path.exists() for path in (strip, sound, newest)] == [True, False, True]


def test_asking_for_something_keeps_it(tmp_path: Path) -> None:
    for name in "ab":
        keep(place(tmp_path, name, ".film"), ABOUT, {"data": np.zeros(1_000)})
        os.utime(place(tmp_path, name, ".film"), (1_000, 1_000 + ord(name)))
    assert kept(place(tmp_path, "a", ".film"), ABOUT)
    make_room(tmp_path, 12_000)
    assert there(tmp_path) == {place(tmp_path, "a", ".film").name}


@pytest.mark.parametrize(
    "name", ["operation.mp4", "talk.mkv", "notes.film", "0" * 40 + ".txt", "x" + "0" * 40 + ".mp4"]
)
def test_what_is_not_ours_is_neither_counted_nor_taken(name: str, tmp_path: Path) -> None:
    """The folder may be one in which recordings lie."""
    (tmp_path / name).write_bytes(bytes(10_000))
    os.utime(tmp_path / name, (1_000, 1_000))
    ours = put(tmp_path, "a", ".film", 100, 2_000)
    make_room(tmp_path, 100)
    assert ours.exists()
    make_room(tmp_path, 0)
    assert there(tmp_path) == {name}


def test_what_a_kill_left_half_written_goes_too(tmp_path: Path) -> None:
    left = tmp_path / f"{'0' * 40}.film.x8_kd2aq.part"
    left.write_bytes(bytes(100))
    make_room(tmp_path, 50)
    assert not left.exists()


def test_what_a_kill_left_goes_even_where_there_is_room(tmp_path: Path) -> None:
    (tmp_path / "review").mkdir()
    left = tmp_path / "review" / ".annotator-0badcafe0badcafe.part"
    left.write_bytes(bytes(100))
    left.with_suffix(".lock").touch()
    kept_file = put(tmp_path, "a", ".film", 100, 1_000)
    make_room(tmp_path, 1_000)
    assert there(tmp_path) == {kept_file.name}


def test_a_link_to_elsewhere_is_not_followed(tmp_path: Path) -> None:
    outside = put(tmp_path / "outside", "a", ".mp4", 100, 1_000)
    (tmp_path / "cache").mkdir()
    try:
        (tmp_path / "cache" / "link").symlink_to(tmp_path / "outside", target_is_directory=True)
    except OSError:
        pytest.skip("links can't be made here")
    make_room(tmp_path / "cache", 0)
    assert outside.exists()


def test_faults_of_the_disk_are_no_errors(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    make_room(tmp_path / "missing", 0)
    mark_used(tmp_path / "missing")
    path = put(tmp_path, "a", ".film", 100, 1_000)

    def refused(*_: object, **__: object) -> None:
        raise PermissionError(13, "in use")

    monkeypatch.setattr(Path, "unlink", refused)
    make_room(tmp_path, 0)
    assert path.exists()


def test_only_what_can_be_made_again_is_counted(tmp_path: Path) -> None:
    (tmp_path / "deeper").mkdir()
    place(tmp_path, "one", ".film").write_bytes(b"1" * 100)
    place(tmp_path / "deeper", "two", ".mp4").write_bytes(b"1" * 20)
    (tmp_path / "holiday.mp4").write_bytes(b"1" * 3000)
    assert used_bytes(tmp_path) == 120
    make_room(tmp_path, 0)
    assert used_bytes(tmp_path) == 0
    assert (tmp_path / "holiday.mp4").exists()
    assert used_bytes(tmp_path / "nowhere") == 0


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes of POSIX")
def test_what_is_no_file_of_its_own_is_as_good_as_none_and_leads_nowhere(tmp_path: Path) -> None:
    """The folder may be one that others can write to."""
    path, elsewhere = place(tmp_path / "cache", "a", ".film"), tmp_path / "letter.txt"
    path.parent.mkdir()
    os.mkfifo(path)
    assert kept(path, ABOUT) is None
    path.unlink()
    elsewhere.write_bytes(b"a letter")
    os.utime(elsewhere, (1_000, 1_000))
    path.symlink_to(elsewhere)
    assert kept(path, ABOUT) is None
    mark_used(path)
    keep(path, ABOUT, {"data": np.zeros(1)})
    assert (elsewhere.read_bytes(), elsewhere.stat().st_mtime) == (b"a letter", 1_000)
    assert kept(path, ABOUT) is not None
