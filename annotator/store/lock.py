"""Who has a case open for changing: one process at a time, known by name to the others.

The lock is one of the operating system, which is freed when its process dies, however it dies. Who
holds it stands in a file of its own, because Windows lets nobody read a locked one.
"""

import os
import sys
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from annotator.durable import why
from annotator.errors import CaseBusy, StoreError
from annotator.parts import NO_LOCKS
from annotator.plain_file import refuse_unless_plain
from annotator.store.atomic import write_beside
from annotator.store.files import read_beside

if TYPE_CHECKING:
    from filelock import BaseFileLock

_PATIENCE = 0.3
"""Seconds to wait for a lock: longer than another process takes to look whether it is held."""

_UNKNOWN = "by another program"

FileId = tuple[int, int]
"""By which a lock's file is known, whatever it is called: device and inode."""

_held_here: set[FileId | None] = set()
"""The locks that this very process holds."""


class Holder(msgspec.Struct, frozen=True):
    """Who holds a lock; `since` is UTC, as `2026-11-24 20:15`."""

    user: str
    host: str
    pid: int
    since: str

    def __str__(self) -> str:
        return f"by {self.user} on {self.host} since {self.since} UTC, process {self.pid}"


class Lock:
    """The right to change one case."""

    def __init__(self, case_path: Path) -> None:
        self._case_path = case_path
        self._path = case_path.with_name(f".{case_path.name}.lock")
        self._holder_path = case_path.with_name(f".{case_path.name}.holder")
        self._lock: BaseFileLock | None = None
        self._mark: FileId | None = None

    def acquire(self) -> None:
        """Take the lock. Raises CaseBusy with who holds it, StoreError where nothing can be locked here."""
        if not self._path.parent.is_dir():  # or it would be made
            raise StoreError(f"There is no folder {self._path.parent}; make it first")
        try:
            self._take(_PATIENCE)
            write_beside(self._holder_path, msgspec.json.encode(_this_process()))
        except StoreError:
            self.release()
            raise
        except OSError as error:
            raise StoreError(f"{self._case_path} can't be changed here: {_why(error)}") from error

    @property
    def is_held(self) -> bool:
        """Whether the lock was taken, and its file is still there."""
        return self._mark is not None and self._mark == _mark_of(self._path)

    def keep(self) -> None:
        """Make sure of the lock: a program that keeps folders alike or tidies them may have taken its file away.

        Raises CaseBusy where another has the case now, StoreError where the lock can't be taken again.
        """
        if not self.is_held:
            self.release()
            self.acquire()

    def holder(self) -> str | None:
        """Who holds the lock; None where nobody does or nobody can tell. What a dead process left of it is removed."""
        if not os.path.lexists(self._path) and not os.path.lexists(self._holder_path):
            return None
        try:
            self._take(timeout=0)
        except CaseBusy as error:
            return error.holder
        except OSError:
            return None
        self.release()
        return None

    def release(self) -> None:
        """Give the lock back and take its files away; a process that waits for it notices that they are gone.

        Once it is given back, the file may be another's lock. Only Windows refuses to delete it then, and
        only Windows refuses to delete it before.
        """
        if self._lock is None:
            return
        is_ours = self.is_held
        if is_ours:
            # The holder's file first, and both while the lock is held: once it is free, either may be another's.
            _forget(self._holder_path)
            _forget(self._path)
        with suppress(OSError):
            self._lock.release()
        if is_ours and sys.platform == "win32":
            _forget(self._path)
        _held_here.discard(self._mark)
        self._lock = self._mark = None

    def _take(self, timeout: float) -> None:
        """Take the lock alone; raises CaseBusy, OSError. A file that was made in vain is taken away."""
        from filelock import FileLock, Timeout

        refuse_unless_plain(self._path)
        was_there = os.path.lexists(self._path)
        # A case is opened in one thread and closed in another. A soft lock is a mere file, which a kill would leave.
        lock = FileLock(self._path, mode=0o666, thread_local=False, fallback_to_soft=False)
        try:
            lock.acquire(timeout, poll_interval=0.02)
        except Timeout:
            is_here = _mark_of(self._path) in _held_here
            raise CaseBusy(str(self._case_path), self._read_holder(), is_here=is_here) from None
        except OSError as error:
            if error.errno in NO_LOCKS and not was_there:
                _forget(self._path)
            raise
        self._lock, self._mark = lock, _mark_of(self._path)
        _held_here.add(self._mark)

    def _read_holder(self) -> str:
        try:
            return str(msgspec.json.decode(read_beside(self._holder_path, 10_000), type=Holder))
        except (StoreError, msgspec.MsgspecError, UnicodeDecodeError):
            return _UNKNOWN


def _this_process() -> Holder:
    import getpass
    import socket

    try:
        user = getpass.getuser()
    except (OSError, KeyError, ImportError):
        user = "somebody"
    return Holder(user, socket.gethostname(), os.getpid(), datetime.now(UTC).strftime("%Y-%m-%d %H:%M"))


def _mark_of(path: Path) -> FileId | None:
    try:
        found = path.lstat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _why(error: OSError) -> str:
    if error.errno in NO_LOCKS:
        return (
            "this folder has no file locks, so two programs could change the case at once and lose each other’s work; "
            "copy the case and its recordings to a folder on this computer and open it there"
        )
    return why(error)


def _forget(path: Path) -> None:
    with suppress(OSError):
        path.unlink(missing_ok=True)
