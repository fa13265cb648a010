"""Files from outside are read whole, within bounds, and only if they are files."""

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from annotator.errors import StoreError
from annotator.store.files import facts_of, read_beside, read_bounded

Read = Callable[[Path, int], bytes]

each_way = pytest.mark.parametrize("read", [read_bounded, read_beside])


@each_way
def test_a_file_is_read_up_to_the_largest_that_is_allowed(tmp_path: Path, read: Read) -> None:
    (tmp_path / "a").write_bytes(b"x" * 1_048_576)
    assert len(read(tmp_path / "a", 1_048_576)) == 1_048_576
    (tmp_path / "a").write_bytes(b"x" * 1_048_577)
    with pytest.raises(StoreError, match="a is larger than 1 MB, too large for this kind of file"):
        read(tmp_path / "a", 1_048_576)


@each_way
def test_what_is_not_there_is_said(tmp_path: Path, read: Read) -> None:
    with pytest.raises(StoreError, match=r"There is no file .*gone; check its name and folder"):
        read(tmp_path / "gone", 10)


@each_way
def test_a_folder_is_no_file(tmp_path: Path, read: Read) -> None:
    with pytest.raises(StoreError):
        read(tmp_path, 10)


@each_way
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_a_pipe_is_not_waited_for(tmp_path: Path, read: Read) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(StoreError):
        read(tmp_path / "pipe", 10)


@each_way
@pytest.mark.skipif(sys.platform != "linux", reason="a file without end")
def test_what_has_no_size_and_no_end_is_no_file(read: Read) -> None:
    with pytest.raises(StoreError):
        read(Path("/dev/zero"), 10)


def test_a_link_is_followed_for_a_case_and_not_for_what_stands_beside_one(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "a")
    assert read_bounded(tmp_path / "link", 10) == b"x"
    with pytest.raises(StoreError):
        read_beside(tmp_path / "link", 10)


def test_a_file_is_known_by_its_facts_until_something_is_done_to_it(tmp_path: Path) -> None:
    path = tmp_path / "a"
    assert facts_of(path) is None
    path.write_bytes(b"x")
    before = facts_of(path)
    assert before == facts_of(path)
    path.write_bytes(b"xy")
    longer = facts_of(path)
    assert longer != before
    (tmp_path / "b").write_bytes(b"xy")
    os.utime(tmp_path / "b", ns=(path.stat().st_atime_ns, path.stat().st_mtime_ns))
    (tmp_path / "b").replace(path)
    assert facts_of(path) != longer, "another file of the same size and time"


def test_the_facts_of_a_link_are_its_own(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "a")
    before = facts_of(tmp_path / "link")
    assert before != facts_of(tmp_path / "a")
    (tmp_path / "a").write_bytes(b"longer")
    assert facts_of(tmp_path / "link") == before
