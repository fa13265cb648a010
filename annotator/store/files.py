"""Read a whole file that came from outside, within bounds and with a clear sentence where it can't be."""

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from annotator.errors import StoreError
from annotator.plain_file import open_plain

Facts = tuple[int, int, int, int]
"""What differs where another file stands under a name, or the same one was written to."""

_AT_ONCE = sum(getattr(os, name, 0) for name in ("O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY"))
"""So that what took the file's place meanwhile, such as a pipe, is not waited for."""


def read_bounded(path: Path, largest: int) -> bytes:
    """The bytes of a regular file of at most `largest` bytes. Raises StoreError for anything else."""
    with _told(path):
        return _read(path, open_file(path), largest)


def open_file(path: Path) -> int:
    """A descriptor to read a regular file by. Raises OSError, and StoreError for anything else."""
    _refuse_unless_file(path, path.stat())
    descriptor = os.open(path, os.O_RDONLY | _AT_ONCE)
    try:
        _refuse_unless_file(path, os.fstat(descriptor))
    except OSError:
        os.close(descriptor)
        raise
    return descriptor


def read_beside(path: Path, largest: int) -> bytes:
    """The same of a file that stands beside a case: one behind a link is not read. Raises StoreError."""
    with _told(path):
        return _read(path, open_plain(path, os.O_RDONLY), largest)


def facts_of(path: Path) -> Facts | None:
    """What to know the present state of a file by, links not followed; None where there is none."""
    try:
        found = path.lstat()
    except OSError:
        return None
    return found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns


def _read(path: Path, descriptor: int, largest: int) -> bytes:
    with open(descriptor, "rb") as file:
        if os.fstat(descriptor).st_size > largest:
            raise StoreError(f"{path} is larger than {largest // (1024 * 1024)} MB, too large for this kind of file")
        return file.read(largest + 1)


def _refuse_unless_file(path: Path, found: os.stat_result) -> None:
    if not stat.S_ISREG(found.st_mode):
        raise StoreError(f"{path} is not a file; give the path of a file")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except StoreError:
        raise
    except FileNotFoundError as error:
        raise StoreError(f"There is no file {path}; check its name and folder") from error
    except OSError as error:
        raise StoreError(f"{path} can't be read: {error.strerror or error}") from error
