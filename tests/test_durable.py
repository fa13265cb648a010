"""What it takes for a file to be on the disk, and what is said where it is not."""

import errno
import os
from pathlib import Path

import pytest

from annotator import durable
from annotator.durable import flush_folder, replace, why


def test_what_went_wrong_is_said_with_what_to_try() -> None:
    assert why(OSError(errno.ENOSPC, "No space left on device")) == "the disk is full; free some space and try again"
    assert (
        why(OSError(errno.EACCES, "Permission denied"))
        == "you have no permission to write there; choose another folder"
    )


def test_what_nobody_has_words_for_is_said_as_the_system_does() -> None:
    assert why(OSError(errno.EDOM, "Numerical argument out of domain")) == "Numerical argument out of domain"
    assert why(OSError("of its own")) == "of its own"


@pytest.mark.parametrize("number", sorted(durable._WHY))
def test_every_sentence_says_what_is_wrong_and_what_to_do(number: int) -> None:
    says = durable._WHY[number]
    assert "; " in says
    assert says[0].islower()
    assert not says.endswith(".")


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP, errno.ENOTTY])
def test_a_folder_that_offers_no_flushing_is_as_good_as_any(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    def refuses(_descriptor: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refuses)
    flush_folder(tmp_path)


def test_a_disk_that_fails_is_not(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    closed: list[int] = []
    closes = os.close

    def fails(_descriptor: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    def notes(descriptor: int) -> None:
        closed.append(descriptor)
        closes(descriptor)

    monkeypatch.setattr(os, "fsync", fails)
    monkeypatch.setattr(os, "close", notes)
    with pytest.raises(OSError, match="Input/output error"):
        flush_folder(tmp_path)
    assert len(closed) == 1


def test_a_file_takes_the_place_of_another(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"new")
    (tmp_path / "b").write_bytes(b"old")
    replace(tmp_path / "a", tmp_path / "b")
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [("b", b"new")]


@pytest.mark.parametrize("busy", [0, 1, 2, 3])
def test_a_reader_that_holds_it_for_a_moment_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, busy: int
) -> None:
    """As on Windows, where a virus scanner looks at each new file."""
    waits: list[float] = []
    monkeypatch.setattr(durable, "_PATIENCE", (1.0, 2.0))
    monkeypatch.setattr("annotator.durable.time.sleep", waits.append)
    replaces, tried = Path.replace, 0

    def replaces_late(source: Path, target: Path) -> Path:
        nonlocal tried
        tried += 1
        if tried <= busy:
            raise PermissionError(errno.EACCES, "held")
        return replaces(source, target)

    monkeypatch.setattr(Path, "replace", replaces_late)
    (tmp_path / "a").write_bytes(b"new")
    if busy == 3:
        with pytest.raises(PermissionError):
            replace(tmp_path / "a", tmp_path / "b")
        assert (tmp_path / "a").read_bytes() == b"new"
    else:
        replace(tmp_path / "a", tmp_path / "b")
        assert (tmp_path / "b").read_bytes() == b"new"
    assert waits == [1.0, 2.0][:busy]
