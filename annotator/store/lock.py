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
from annotator.store.atomic import write_atomically
from annotator.store.files import read_bounded

if TYPE_CHECKING:
    from filelock import BaseFileLock

_PATIENCE = 0.3
"""Seconds to wait for a lock: longer than another process takes to look whether it is held."""

_UNKNOWN = "by another program"


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

    def acquire(self) -> None:
        """Take the lock. Raises CaseBusy with who holds it, StoreError where nothing can be locked here."""
        if not self._path.parent.is_dir():  # or it would be made
            raise StoreError(f"There is no folder {self._path.parent}; make it first")
        try:
            self._lock = self._taken(_PATIENCE)
            write_atomically(self._holder_path, msgspec.json.encode(_this_process()))
        except StoreError:
            self.release()
            raise
        except OSError as error:
            raise StoreError(f"{self._case_path} can't be changed here: {why(error)}") from error

    def holder(self) -> str | None:
        """Who holds the lock; None where nobody does or nobody can tell. What a dead process left of it is removed."""
        if not self._path.exists():
            return None
        try:
            self._lock = self._taken(timeout=0)
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
        _forget(self._holder_path)
        _forget(self._path)
        self._lock.release()
        if sys.platform == "win32":
            _forget(self._path)
        self._lock = None

    def _taken(self, timeout: float) -> "BaseFileLock":
        """The lock, taken; raises CaseBusy, OSError."""
        from filelock import FileLock, Timeout

        lock = FileLock(self._path, mode=0o666, thread_local=False)
        try:
            lock.acquire(timeout, poll_interval=0.02)
        except Timeout:
            raise CaseBusy(str(self._case_path), self._read_holder()) from None
        return lock

    def _read_holder(self) -> str:
        try:
            return str(msgspec.json.decode(read_bounded(self._holder_path, 10_000), type=Holder))
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


def _forget(path: Path) -> None:
    with suppress(OSError):
        path.unlink(missing_ok=True)
