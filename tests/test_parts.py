"""What is being written is taken away once its writer is dead, and never before."""

import errno
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest

from annotator.parts import clear_left_overs, part_in

LEFT = ".annotator-0badcafe0badcafe"
WRITES = """
import sys
from pathlib import Path
from annotator.parts import part_in
with part_in(Path(sys.argv[1])) as part:
    part.mkdir()
    (part / "recording.mp4").write_bytes(b"half")
    print("writing", flush=True)
    sys.stdin.read()
"""


@pytest.fixture
def writer(tmp_path: Path) -> Iterator["subprocess.Popen[bytes]"]:
    """Another process in the middle of writing a part."""
    command = [sys.executable, "-c", WRITES, str(tmp_path)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline().strip() == b"writing"
        yield process
        process.kill()


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def leave(folder: Path, *, locked: bool = True) -> Path:
    """A part as a kill leaves it."""
    part = folder / f"{LEFT}.part"
    part.write_bytes(b"half")
    if locked:
        part.with_suffix(".lock").touch()
    return part


def test_nothing_stays_whether_it_goes_well_or_not(tmp_path: Path) -> None:
    with part_in(tmp_path) as part:
        part.write_bytes(b"whole")
        part.rename(tmp_path / "out.mp4")
    with pytest.raises(ZeroDivisionError), part_in(tmp_path) as part:
        part.mkdir()
        (part / "one").touch()
        raise ZeroDivisionError
    assert names(tmp_path) == ["out.mp4"]


def test_the_name_says_nothing_of_what_is_written(tmp_path: Path) -> None:
    with part_in(tmp_path) as one, part_in(tmp_path) as other:
        assert one != other
        assert one.name.startswith(".annotator-")


def test_what_another_process_writes_is_left_alone(tmp_path: Path, writer: "subprocess.Popen[bytes]") -> None:
    before = names(tmp_path)
    clear_left_overs(tmp_path)
    with part_in(tmp_path):
        pass
    assert names(tmp_path) == before
    assert len(before) == 2


def test_what_a_killed_process_wrote_goes_at_the_next_start(tmp_path: Path, writer: "subprocess.Popen[bytes]") -> None:
    writer.kill()
    writer.wait()
    assert len(names(tmp_path)) == 2
    with part_in(tmp_path):
        assert len(names(tmp_path)) == 1, "the lock of the new part"
    assert names(tmp_path) == []


def test_what_another_thread_writes_is_left_alone_also_where_locks_are_the_process_s(tmp_path: Path) -> None:
    """On NFS a lock is the process's: taking it again succeeds (fcntl(2), "record locks"), and closing it frees it."""
    with part_in(tmp_path) as part, patch("annotator.parts._lock") as taken:
        part.touch()
        other = threading.Thread(target=clear_left_overs, args=[tmp_path])
        other.start()
        other.join()
        assert part.exists()
        taken.assert_not_called()


@pytest.mark.parametrize("code", [errno.ENOLCK, errno.ENOTSUP, errno.ENOSYS])
def test_a_folder_without_locks_is_written_to_all_the_same(tmp_path: Path, code: int) -> None:
    with patch("annotator.parts._lock", side_effect=OSError(code, os.strerror(code))):
        left = leave(tmp_path)
        with part_in(tmp_path) as part:
            part.touch()
            clear_left_overs(tmp_path)
            assert part.exists()
        assert left.exists(), "nobody can tell whether it is being written"


def test_without_a_lock_a_part_goes_once_nothing_was_written_for_a_day(tmp_path: Path) -> None:
    """The age of a folder is that of the newest file in it: the folder's own stays, while a file in it grows."""
    part = tmp_path / f"{LEFT}.part"
    part.mkdir()
    (part / "recording.mp4").write_bytes(b"half")
    os.utime(part, (0, 0))
    clear_left_overs(tmp_path)
    assert part.exists()
    os.utime(part / "recording.mp4", (0, 0))
    clear_left_overs(tmp_path)
    assert not part.exists()


@pytest.mark.parametrize("name", ["talk.part", ".talk.mp4.part", ".annotator-notes.part", f"{LEFT}.part.mp4"])
def test_what_is_not_ours_stays(tmp_path: Path, name: str) -> None:
    (tmp_path / name).touch()
    os.utime(tmp_path / name, (0, 0))
    clear_left_overs(tmp_path)
    assert names(tmp_path) == [name]


@pytest.mark.skipif(sys.platform == "win32", reason="links of POSIX")
def test_a_link_goes_not_what_it_leads_to(tmp_path: Path) -> None:
    other = tmp_path / "recordings"
    other.mkdir()
    (other / "operation.mp4").touch()
    (tmp_path / f"{LEFT}.part").symlink_to(other)
    (tmp_path / f"{LEFT}.lock").touch()
    clear_left_overs(tmp_path)
    assert names(tmp_path) == ["recordings"]
    assert names(other) == ["operation.mp4"]


@pytest.mark.skipif(sys.platform == "win32", reason="links of POSIX")
def test_a_lock_that_is_a_link_leads_nowhere(tmp_path: Path) -> None:
    left = leave(tmp_path, locked=False)
    left.with_suffix(".lock").symlink_to(tmp_path / "elsewhere")
    clear_left_overs(tmp_path)
    assert not (tmp_path / "elsewhere").exists()


@pytest.mark.parametrize(
    ("make", "code"), [(lambda path: None, errno.ENOENT), (lambda path: path.touch(), errno.ENOTDIR)]
)
def test_no_folder_is_said_and_none_is_made(tmp_path: Path, make: "object", code: int) -> None:
    folder = tmp_path / "folder"
    if callable(make):
        make(folder)
    with pytest.raises(OSError, match=os.strerror(code)) as raised, part_in(folder):
        pass
    assert raised.value.errno == code
    assert not folder.is_dir()


def test_a_lock_that_another_looks_at_for_a_moment_is_waited_for(tmp_path: Path) -> None:
    """Who clears takes every lock for a moment, also one that is being made."""
    clearing = threading.Event()

    def clear() -> None:
        while not clearing.is_set():
            clear_left_overs(tmp_path)

    beside = threading.Thread(target=clear)
    beside.start()
    try:
        for _ in range(50):
            with part_in(tmp_path) as part:
                part.touch()
                assert part.exists()
    finally:
        clearing.set()
        beside.join()
    assert names(tmp_path) == []
