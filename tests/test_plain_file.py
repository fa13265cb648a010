"""Only a file of its own is opened, whatever a stranger put under its name."""

import os
from pathlib import Path

import pytest

from annotator.plain_file import NotPlain, open_plain, refuse_unless_plain


def opened(path: Path, flags: int = os.O_RDWR | os.O_CREAT) -> bytes:
    with os.fdopen(open_plain(path, flags), "rb") as file:
        return file.read()


def test_a_file_is_opened_and_one_that_is_not_there_is_made(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x")
    assert opened(tmp_path / "a") == b"x"
    assert opened(tmp_path / "b") == b""
    assert (tmp_path / "b").is_file()


def test_without_being_asked_to_nothing_is_made(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        open_plain(tmp_path / "a", os.O_RDONLY)
    refuse_unless_plain(tmp_path / "a")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("link", "“name” is a link to another place; remove it and try again"),
        ("link to nothing", "“name” is a link to another place; remove it and try again"),
        ("second name", "“name” has a second name elsewhere (a hard link), where it would change too; remove it"),
        ("folder", "“name” is a folder, a pipe or a device, not a file; remove it"),
        ("pipe", "“name” is a folder, a pipe or a device, not a file; remove it"),
    ],
)
def test_anything_else_is_refused_and_left_as_it_is(tmp_path: Path, kind: str, says: str) -> None:
    path, other = tmp_path / "name", tmp_path / "other"
    other.write_bytes(b"somebody's")
    match kind:
        case "link":
            path.symlink_to(other)
        case "link to nothing":
            path.symlink_to(tmp_path / "nothing")
        case "second name":
            path.hardlink_to(other)
        case "folder":
            path.mkdir()
        case "pipe":
            os.mkfifo(path)
    for refuse in (refuse_unless_plain, lambda one: open_plain(one, os.O_RDWR | os.O_CREAT | os.O_TRUNC)):
        with pytest.raises(NotPlain) as refused:
            refuse(path)
        assert str(refused.value).startswith(says)
    assert other.read_bytes() == b"somebody's"
    assert not (tmp_path / "nothing").exists()


def test_what_takes_the_place_of_a_file_while_it_is_opened_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "name"
    path.write_bytes(b"x")
    (tmp_path / "other").write_bytes(b"somebody's")
    opens = os.open

    def opens_late(*how: object) -> int:
        path.unlink()
        path.hardlink_to(tmp_path / "other")
        return opens(*how)  # type: ignore[arg-type] # handed on

    monkeypatch.setattr(os, "open", opens_late)
    with pytest.raises(NotPlain, match="has a second name elsewhere"):
        open_plain(path, os.O_RDWR)
