"""The index kept in a folder: never believed when it is not whole, never in the way."""

import sys
from pathlib import Path

import pytest

from annotator.media.cache import index_cache
from annotator.media.cache.index_cache import cached_index
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from tests.media.films import Films


def same(one: FrameIndex, other: FrameIndex) -> bool:
    facts = [(index.end, index.rate, index.notes, index.sound_lead) for index in (one, other)]
    return facts[0] == facts[1] and one.times.tolist() == other.times.tolist()


@pytest.mark.parametrize("name", ["ntsc.mp4", "variable.mkv", "open_gop_cut.ts"])
def test_it_is_read_once_and_comes_back_the_same(
    name: str, film: Films, tmp_path: Path, frames_read: list[Path]
) -> None:
    first = cached_index(film(name), "sha256:one", tmp_path / "cache")
    second = cached_index(film(name), "sha256:one", tmp_path / "cache")
    assert same(first, second)
    assert same(first, read_index(film(name)))
    assert len(frames_read) == 1


def test_other_content_is_read_anew(film: Films, tmp_path: Path, frames_read: list[Path]) -> None:
    cached_index(film("ntsc.mp4"), "one", tmp_path)
    cached_index(film("ntsc.mp4"), "two", tmp_path)
    assert len(frames_read) == 2


@pytest.mark.parametrize("damage", ["nothing", "half", "noise", "folder", "other version", "swapped"])
def test_what_is_not_whole_is_made_anew(
    damage: str, film: Films, tmp_path: Path, frames_read: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = cached_index(film("ntsc.mp4"), "one", tmp_path)
    (kept,) = tmp_path.iterdir()
    raw = kept.read_bytes()
    if damage == "folder":
        kept.unlink()
        kept.mkdir()
    elif damage == "other version":
        monkeypatch.setattr(index_cache, "_VERSION", 0)
    elif damage == "swapped":
        cached_index(film("h264.mp4"), "two", tmp_path)
        (other,) = set(tmp_path.iterdir()) - {kept}
        kept.write_bytes(other.read_bytes())
    else:
        kept.write_bytes({"nothing": b"", "half": raw[: len(raw) // 2], "noise": bytes(reversed(raw))}[damage])
    assert same(cached_index(film("ntsc.mp4"), "one", tmp_path), whole)
    assert frames_read.count(film("ntsc.mp4")) == 2
    if damage != "folder":
        assert same(cached_index(film("ntsc.mp4"), "one", tmp_path), whole)
        assert frames_read.count(film("ntsc.mp4")) == 2


def test_every_changed_byte_is_noticed_or_harmless(film: Films, tmp_path: Path) -> None:
    whole = cached_index(film("h264.mp4"), "one", tmp_path)
    (kept,) = tmp_path.iterdir()
    raw = kept.read_bytes()
    for at in range(0, len(raw), 7):
        kept.write_bytes(raw[:at] + bytes([raw[at] ^ 0x55]) + raw[at + 1 :])
        assert same(cached_index(film("h264.mp4"), "one", tmp_path), whole)


def test_no_unfinished_file_stays_behind(film: Films, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    assert len(cached_index(film("h264.mp4"), "one", tmp_path)) == 45
    assert not list(tmp_path.iterdir())


def test_a_folder_that_cannot_be_made_costs_only_time(film: Films, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert len(cached_index(film("h264.mp4"), "one", tmp_path / "file" / "cache")) == 45


@pytest.mark.skipif(sys.platform == "win32", reason="file names are told apart by more than their letters here")
def test_a_fingerprint_is_no_path(film: Films, tmp_path: Path) -> None:
    cached_index(film("h264.mp4"), "../../outside", tmp_path / "cache")
    assert [path.name for path in tmp_path.iterdir()] == ["cache"]
