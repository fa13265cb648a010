"""What is being written, beside where it goes: hidden until it is whole, and known when a kill has left it behind.

Every part has a lock of the operating system beside it, which is freed when its writer dies, however it dies, and
which other computers see too where a folder is shared. So nobody takes away what another is still writing. Where a
folder knows no locks, a part is left behind once nothing has been written to it for a day.
"""

import errno
import os
import re
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Final

from annotator.durable import flush_file, flush_folder, replace

if TYPE_CHECKING:
    from filelock import BaseFileLock

_OURS: Final = re.compile(r"(\.annotator-[0-9a-f]{16})\.(?:part|lock)")
"""Random, as the name of what is written may be a patient's."""

_PATIENCE: Final = 1.0
"""Seconds to wait for a lock of our own: longer than another takes to look whether it is held."""

_LONG_AGO: Final = 24 * 3_600
"""Seconds after which nobody can still be writing where there are no locks."""

NO_LOCKS: Final = frozenset({errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL})
"""What a folder answers that knows no locks, such as some network folders."""

_writing: Final[set[str]] = set()
"""What this process writes. NFS has one lock for all threads of a process, so it can't keep one from the other."""


@contextmanager
def part_in(folder: Path) -> Iterator[Path]:
    """A name in the folder for a file or a folder to write, with nothing there yet; rename it once it is whole.

    What has that name at the end is taken away. What killed programs left in the folder is taken away before.
    Raises OSError where the folder can't be written to.
    """
    clear_left_overs(folder)
    stem = f".annotator-{os.urandom(8).hex()}"
    part, lock_path = folder / f"{stem}.part", folder / f"{stem}.lock"
    _writing.add(stem)
    lock = None
    try:
        lock = _locked(lock_path)
        yield part
    finally:
        _remove(part)
        _give_back(lock, lock_path)
        _writing.discard(stem)


@contextmanager
def whole_file(target: Path, last_look: Callable[[Path], None] = lambda _part: None) -> Iterator[Path]:
    """A name to write a file to, which takes the place of `target`, on the disk, where the block ends well.

    `last_look` gets the part once the disk has it, right before what stood there goes; what it raises, as whatever is
    raised in the block, leaves that as it is. Raises OSError where the file can't be written.
    """
    with part_in(target.parent) as part:
        yield part
        # To write, as Windows flushes no file that is open for reading alone.
        with part.open("r+b") as file:
            flush_file(file.fileno())
        last_look(part)
        replace(part, target)
        flush_folder(target.parent)


def clear_left_overs(folder: Path) -> None:
    """Take away what killed programs were writing there; what can't be looked at or taken away stays."""
    try:
        names = {found[1] for path in folder.iterdir() if (found := _OURS.fullmatch(path.name))}
    except OSError:
        return
    for stem in names - _writing:
        part, lock_path = folder / f"{stem}.part", folder / f"{stem}.lock"
        with suppress(OSError):
            if lock_path.exists():
                lock = _lock(lock_path, timeout=0)
                _remove(part)
                _give_back(lock, lock_path)
            elif time.time() - _last_written(part) > _LONG_AGO:
                _remove(part)


def _locked(path: Path) -> "BaseFileLock | None":
    """The lock of a part that is begun; None where the folder knows no locks."""
    if not path.parent.is_dir():  # or the library would make it
        missing = errno.ENOTDIR if path.parent.exists() else errno.ENOENT
        raise OSError(missing, os.strerror(missing), str(path.parent))
    try:
        return _lock(path, _PATIENCE)
    except TimeoutError:
        return None
    except OSError as error:
        with suppress(OSError):
            path.unlink(missing_ok=True)
        if error.errno in NO_LOCKS:
            return None
        raise


def _lock(path: Path, timeout: float) -> "BaseFileLock":
    """The lock, taken; TimeoutError where another has it, OSError where there can be none."""
    from filelock import FileLock

    # No soft lock where the folder knows no other: that is a mere file, which a kill would leave.
    lock = FileLock(path, thread_local=False, fallback_to_soft=False)
    lock.acquire(timeout, poll_interval=0.02)
    return lock


def _give_back(lock: "BaseFileLock | None", path: Path) -> None:
    """Take the lock's file away and free it; only Windows refuses to delete a file before that."""
    if lock is None:
        return
    with suppress(OSError):
        path.unlink(missing_ok=True)
    lock.release()
    if sys.platform == "win32":
        with suppress(OSError):
            path.unlink(missing_ok=True)


def _remove(part: Path) -> None:
    """Whatever has the name: a file, a folder with all in it, or nothing."""
    if part.is_dir() and not part.is_symlink():
        from shutil import rmtree  # with five libraries for archives, which most parts have no use for

        rmtree(part, ignore_errors=True)
        return
    with suppress(OSError):
        part.unlink(missing_ok=True)


def _last_written(part: Path) -> float:
    """When something of it was last written to, in seconds since the epoch."""
    return max(path.lstat().st_mtime for path in (part, *part.rglob("*")))
