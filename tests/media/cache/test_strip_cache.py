"""Strips and peaks kept in a folder: never believed when not whole, never in the way, never too many."""

import os
from pathlib import Path

import numpy as np
import pytest

from annotator.media.cache.strip_cache import StripCache
from annotator.media.pictures.sound import Peaks
from annotator.media.pictures.thumbnails import WIDTH, Thumbnail, thumbnails
from tests.media.films import Films

FILM = (Thumbnail(0, b"first"), Thumbnail(2_002, b""), Thumbnail(4_004, b"the third"))
PEAKS = Peaks(np.arange(200, dtype=np.uint8))


def kept_file(folder: Path, ending: str) -> Path:
    (found,) = folder.glob(f"*.{ending}")
    return found


def test_both_come_back_the_same(tmp_path: Path) -> None:
    cache = StripCache(tmp_path / "cache")
    cache.keep_film("one", FILM)
    cache.keep_peaks("one", PEAKS)
    again = StripCache(tmp_path / "cache")
    peaks = again.peaks("one")
    assert again.film("one") == FILM
    assert peaks is not None
    assert peaks.levels.tolist() == PEAKS.levels.tolist()
    assert (again.film("two"), again.peaks("two")) == (None, None)
    assert {path.suffix for path in (tmp_path / "cache").iterdir()} == {".film", ".sound"}


def test_nothing_is_something_too(tmp_path: Path) -> None:
    """That a recording has no sound need be found out only once."""
    cache = StripCache(tmp_path)
    cache.keep_peaks("mute", Peaks(np.zeros(0, dtype=np.uint8)))
    peaks = cache.peaks("mute")
    assert peaks is not None
    assert len(peaks.levels) == 0


def test_every_changed_byte_is_noticed_or_harmless(tmp_path: Path) -> None:
    cache = StripCache(tmp_path)
    cache.keep_film("one", FILM)
    file = kept_file(tmp_path, "film")
    raw = file.read_bytes()
    for at in range(0, len(raw), 5):
        file.write_bytes(raw[:at] + bytes([raw[at] ^ 0x55]) + raw[at + 1 :])
        assert cache.film("one") is None
    for part in (b"", raw[: len(raw) // 2]):
        file.write_bytes(part)
        assert cache.film("one") is None
    cache.keep_film("one", FILM)
    assert cache.film("one") == FILM


def test_what_belongs_to_other_content_is_not_taken(tmp_path: Path) -> None:
    cache = StripCache(tmp_path)
    cache.keep_film("two", FILM)
    other = kept_file(tmp_path, "film").read_bytes()
    cache.keep_film("one", FILM[:1])
    for path in tmp_path.iterdir():
        path.write_bytes(other)
    assert cache.film("one") is None


def test_the_oldest_go_first(tmp_path: Path) -> None:
    big = (Thumbnail(0, bytes(10_000)),)
    cache = StripCache(tmp_path, most_bytes=35_000)
    for age, name in enumerate(("a", "b", "c")):
        cache.keep_film(name, big)
        for path in tmp_path.iterdir():
            if path.stat().st_mtime > 1_000_000:
                os.utime(path, (1_000 + age, 1_000 + age))
    assert cache.film("a") == big
    cache.keep_film("d", big)
    assert [cache.film(name) is None for name in "abcd"] == [False, True, False, False]
    assert sum(path.stat().st_size for path in tmp_path.iterdir()) <= 35_000


def test_other_files_in_the_folder_stay(tmp_path: Path) -> None:
    (tmp_path / "index.frames").write_bytes(bytes(5_000))
    StripCache(tmp_path, most_bytes=10).keep_film("one", FILM)
    assert [path.name for path in tmp_path.iterdir()] == ["index.frames"]


def test_no_unfinished_file_stays_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    StripCache(tmp_path).keep_film("one", FILM)
    assert not list(tmp_path.iterdir())


def test_a_folder_that_cannot_be_made_costs_only_time(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    cache = StripCache(tmp_path / "file" / "cache")
    cache.keep_film("one", FILM)
    assert cache.film("one") is None


def test_thumbnails_are_jpegs_from_where_they_are_asked_for(film: Films) -> None:
    """JPEG begins with the marker SOI, FF D8 (ITU-T T.81, table B.1)."""
    strip = list(thumbnails(film("hours.mp4")))
    later = list(thumbnails(film("hours.mp4"), start=2 * 3_600_000))
    assert all(one.jpeg[:2] == b"\xff\xd8" for one in strip)
    assert later == [one for one in strip if one.time >= later[0].time]
    assert later[0].time <= 2 * 3_600_000 < later[1].time
    assert WIDTH == 320


@pytest.mark.parametrize("name", ["late.ts", "late.mkv", "open_gop.ts", "mpeg2.mpg", "mjpeg.avi"])
def test_a_later_start_gives_no_other_times(name: str, film: Films) -> None:
    times = [one.time for one in thumbnails(film(name))]
    later = [one.time for one in thumbnails(film(name), start=1_000)]
    assert set(later) <= set(times)
    assert later
