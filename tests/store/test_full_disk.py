"""Whatever call to the disk fails, and when: a clear sentence, nothing acknowledged lost, and work goes on."""

import errno
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from annotator.durable import why
from annotator.errors import StoreError
from annotator.store.session import Change, Session
from tests.store.failing_disk import FailingDisk
from tests.store.on_disk import NAME, adding, after_a_kill, files_in, new_case, numbers, read

CODES = [errno.ENOSPC, errno.EIO, errno.EROFS, errno.EACCES]

each_code = pytest.mark.parametrize("code", CODES, ids=[errno.errorcode[code] for code in CODES])
once_or_from_then_on = pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])

CHANGES: dict[str, Callable[[Session], object]] = {
    "do": lambda session: session.do(adding(9)),
    "undo": lambda session: session.undo(),
    "redo": lambda session: session.redo(),
}


def prepared(path: Path) -> Session:
    """Tags 1 and 2 saved, 3 in the journal, and something to undo and to do again."""
    session = Session.create(path, new_case(), overwrite=True)
    for number in (1, 2):
        session.do(adding(number))
    session.save()
    session.do(adding(3))
    session.do(adding(4))
    session.undo()
    return session


def every_failure(path: Path, code: int, lasting: bool) -> Iterator[tuple[Session, FailingDisk]]:
    """A prepared session and a disk that fails at its first call, its second, and so on, until it does not any more."""
    for fails in range(1, 60):
        session, disk = prepared(path), FailingDisk(fails, code, lasting)
        yield session, disk
        if not disk.has_failed:
            return
    raise AssertionError("it never ran through")


@each_code
@once_or_from_then_on
@pytest.mark.parametrize("change", CHANGES)
def test_a_change_that_the_disk_refuses_was_never_made(tmp_path: Path, change: str, lasting: bool, code: int) -> None:
    path = tmp_path / NAME
    refused = 0
    for session, disk in every_failure(path, code, lasting):
        before, stood, told = session.case, path.read_bytes(), list[Change]()
        session.subscribe(told.append)
        with disk:
            try:
                CHANGES[change](session)
            except StoreError as error:
                refused += 1
                assert str(error).startswith("Nothing was changed; ")
                assert why(OSError(code, "")) in str(error)
                assert (session.case, told) == (before, [])
        assert path.read_bytes() == stood
        assert after_a_kill(path) == session.case
        if disk.has_failed:
            CHANGES[change](session)
        assert len(told) == 1
        session.do(adding(10))
        assert after_a_kill(path) == session.case
        session.close()
        assert read(path) == session.case
    assert refused == 2, "writing and flushing"


@each_code
@once_or_from_then_on
def test_a_save_that_the_disk_refuses_loses_neither_the_old_file_nor_a_change(
    tmp_path: Path, lasting: bool, code: int
) -> None:
    path = tmp_path / NAME
    refused = 0
    for session, disk in every_failure(path, code, lasting):
        stood = path.read_bytes()
        with disk:
            try:
                session.save()
            except StoreError as error:
                refused += 1
                assert str(error).startswith("The case was not saved, but its changes are safe in the journal; ")
                assert why(OSError(code, "")) in str(error)
        assert path.read_bytes() == stood or numbers(read(path)) == [1, 2, 3]
        assert after_a_kill(path) == session.case
        session.do(adding(10))
        assert after_a_kill(path) == session.case
        session.undo()
        session.save()
        session.close()
        assert numbers(read(path)) == [1, 2, 3]
        assert files_in(tmp_path) == [NAME, f"{NAME}.previous"]
    assert refused >= 8, "the mark, the previous version and the new one: opening, writing, flushing, replacing"


@each_code
@once_or_from_then_on
def test_a_case_closed_on_a_full_disk_is_whole_when_it_is_opened_again(
    tmp_path: Path, lasting: bool, code: int
) -> None:
    path = tmp_path / NAME
    for session, disk in every_failure(path, code, lasting):
        with disk:
            try:
                session.close()
            except StoreError as error:
                assert "its changes are safe in the journal" in str(error)
        with Session.open(path) as again:
            assert again.case == session.case
            assert again.warnings == ()
        assert files_in(tmp_path) == [NAME, f"{NAME}.previous"]


@each_code
@once_or_from_then_on
def test_a_case_that_can_t_be_opened_for_changing_is_left_as_it_was(tmp_path: Path, lasting: bool, code: int) -> None:
    path = tmp_path / NAME
    for session, disk in every_failure(path, code, lasting):
        session.close()
        with disk:
            try:
                Session.open(path).close()
            except StoreError as error:
                assert NAME in str(error)
            with Session.open(path, writable=False) as reader:
                assert reader.case == session.case
        assert files_in(tmp_path) == [NAME, f"{NAME}.previous"]


@pytest.mark.skipif(
    sys.platform == "win32" or not hasattr(os, "geteuid") or os.geteuid() == 0, reason="no folder is read-only for root"
)
def test_in_a_folder_that_can_only_be_read_a_case_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / NAME
    Session.create(path, new_case()).close()
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(StoreError, match="can't be changed here: you have no permission to write there"):
            Session.open(path)
        assert read(path) == new_case()
    finally:
        tmp_path.chmod(0o755)


SMALL_DISK = """
import resource, signal, sys
from pathlib import Path
from annotator.errors import StoreError
from annotator.store.session import Session
from tests.store.on_disk import adding, new_case

signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
session = Session.create(Path(sys.argv[1]), new_case())
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, hard))
done = 0
try:
    while done < 1_000:
        session.do(adding(done))
        done += 1
except StoreError as error:
    print(error)
resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
session.do(adding(1_000))
print(done)
sys.stdout.flush()
signal.raise_signal(signal.SIGKILL)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="limits of POSIX")
def test_where_the_kernel_itself_cuts_a_write_short_no_acknowledged_change_is_lost(tmp_path: Path) -> None:
    """A real limit on the size of files (setrlimit, RLIMIT_FSIZE): the last write is a partial one."""
    path = tmp_path / NAME
    run = subprocess.run([sys.executable, "-c", SMALL_DISK, str(path)], capture_output=True, text=True, check=False)
    assert run.stderr == ""
    sentence, done = run.stdout.splitlines()
    assert sentence.startswith("Nothing was changed; ")
    assert "larger than this disk allows" in sentence
    assert numbers(read(path)) == [*range(int(done)), 1_000]
