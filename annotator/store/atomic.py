"""Write a file so that a reader, a kill or a power cut finds the old content or the new, never a part."""

import errno
import os
import secrets
import sys
import time
from contextlib import suppress
from pathlib import Path

from annotator.errors import StoreError

PART = ".part"
"""Ending of a file that is being written; one that a kill left behind may be deleted."""

_WHY = {
    errno.ENOSPC: "the disk is full; free some space and try again",
    errno.EDQUOT: "your share of the disk is used up; free some space and try again",
    errno.EFBIG: "the file would be larger than is allowed here; choose another folder",
    errno.EROFS: "this disk can only be read; choose a folder on another",
    errno.EACCES: "you may not write there; choose another folder",
    errno.EPERM: "you may not write there; choose another folder",
    errno.ENOENT: "there is no such folder; make it first",
    errno.ENOTDIR: "what should be a folder is a file; choose another place",
    errno.EISDIR: "there is a folder of that name; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.EIO: "the disk reports a fault; check its cable or choose another disk",
}

_NOT_OFFERED = (errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOTTY)

# Waits, in seconds, for a virus scanner or a reader on Windows to let go of a file that is to be replaced.
_PATIENCE = (0.01, 0.05, 0.2, 0.5) if sys.platform == "win32" else ()


def write_atomically(path: Path, data: bytes) -> None:
    """Make `data` the content of the file, on disk before this returns. A link is followed, access rights are kept.

    Raises StoreError with what to try; the file is then as it was.
    """
    target = Path(os.path.realpath(path))
    part = target.with_name(f".{target.name.lstrip('.')}.{secrets.token_hex(4)}{PART}")
    try:
        _write_new(part, data, like=target)
        _replace(part, target)
        flush_folder(target.parent)
    except OSError as error:
        raise StoreError(f"{path} can't be written: {why(error)}") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def why(error: OSError) -> str:
    """What went wrong with a file, and what to try."""
    return _WHY.get(error.errno or 0) or error.strerror or str(error)


def flush_file(descriptor: int) -> None:
    """Wait until the disk has what was written to an open file."""
    if sys.platform == "darwin":
        import fcntl

        # On macOS fsync leaves the data in the drive's own cache (see its fsync(2)); not every disk offers more.
        try:
            fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
        except OSError as error:
            _raise_unless_not_offered(error)
        else:
            return
    os.fsync(descriptor)


def flush_folder(folder: Path) -> None:
    """Wait until the disk has the names in a folder. Windows and some network folders offer no such thing."""
    if sys.platform != "win32":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        except OSError as error:
            _raise_unless_not_offered(error)
        finally:
            os.close(descriptor)


def _raise_unless_not_offered(error: OSError) -> None:
    if error.errno not in _NOT_OFFERED:
        raise error


def write_all(descriptor: int, data: bytes) -> None:
    """Write all of `data`, however many calls that takes."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def _write_new(path: Path, data: bytes, like: Path) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        write_all(descriptor, data)
        flush_file(descriptor)
    finally:
        os.close(descriptor)
    with suppress(FileNotFoundError):
        path.chmod(like.stat().st_mode & 0o7777)


def _replace(source: Path, target: Path) -> None:
    for wait in _PATIENCE:
        try:
            source.replace(target)
            return
        except PermissionError:
            time.sleep(wait)
    source.replace(target)
