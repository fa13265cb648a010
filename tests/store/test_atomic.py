"""Files are replaced whole or not at all."""

import errno
import os
import stat
import sys
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annotator.durable import why
from annotator.errors import StoreError
from annotator.store.atomic import write_atomically
from tests.store.failing_disk import FailingDisk
from tests.store.on_disk import files_in

posix = pytest.mark.skipif(sys.platform == "win32", reason="access rights and links of POSIX")


@given(before=st.none() | st.binary(), after=st.binary())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_content_is_what_was_given(tmp_path: Path, before: bytes | None, after: bytes) -> None:
    path = tmp_path / "out.vtt"
    path.unlink(missing_ok=True)
    if before is not None:
        path.write_bytes(before)
    write_atomically(path, after)
    assert path.read_bytes() == after
    assert files_in(tmp_path) == ["out.vtt"]


@posix
def test_a_new_file_has_the_user_s_usual_rights_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    path, usual = tmp_path / "new", tmp_path / "usual"
    usual.touch()
    write_atomically(path, b"1")
    assert stat.S_IMODE(path.stat().st_mode) == stat.S_IMODE(usual.stat().st_mode)
    path.chmod(0o640)
    write_atomically(path, b"2")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@posix
def test_a_link_is_followed_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    target, link = tmp_path / "real" / "case", tmp_path / "link"
    target.write_bytes(b"1")
    link.symlink_to(target)
    write_atomically(link, b"2")
    assert link.is_symlink()
    assert target.read_bytes() == b"2"


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES])
@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
def test_whatever_call_fails_the_old_file_stands_and_nothing_is_left(tmp_path: Path, code: int, lasting: bool) -> None:
    path = tmp_path / "out.csv"
    path.write_bytes(b"old")
    for fails in range(1, 20):
        with FailingDisk(fails, code, lasting) as disk:
            try:
                write_atomically(path, b"new and longer")
            except StoreError as error:
                assert str(path) in str(error)
                assert why(OSError(code, "")) in str(error)
            else:
                assert not disk.has_failed
                break
        assert path.read_bytes() in (b"old", b"new and longer")
        assert files_in(tmp_path) == ["out.csv"]
    else:
        raise AssertionError("it never ran through")
    assert fails >= 5, "opening, writing, flushing, replacing, flushing the folder"


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("nowhere/out.csv", "there is no such folder"),
        ("file/out.csv", "is a file, not a folder"),
        ("folder", "there is a folder of that name"),
        ("x" * 300, "the name is too long"),
    ],
)
@posix
def test_where_no_file_can_be_the_sentence_says_why(tmp_path: Path, name: str, says: str) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "file").touch()
    with pytest.raises(StoreError, match=says):
        write_atomically(tmp_path / name, b"")
    assert files_in(tmp_path) == ["file", "folder"]


def test_a_reason_without_a_number_is_told_as_it_is() -> None:
    assert why(OSError("odd")) == "odd"


def test_a_folder_that_knows_no_flushing_is_written_to_all_the_same(tmp_path: Path) -> None:
    """Some network and FUSE file systems answer fsync of a folder with EINVAL."""
    real = os.fsync

    def fsync(descriptor: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
        real(descriptor)

    with patch("os.fsync", fsync):
        write_atomically(tmp_path / "out.vtt", b"WEBVTT")
    assert (tmp_path / "out.vtt").read_bytes() == b"WEBVTT"
