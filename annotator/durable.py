"""What it takes for a file to be on the disk, and what went wrong where it is not; known to every room that writes."""

import errno
import os
import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

_WHY = {
    errno.ENOSPC: "the disk is full; free some space and try again",
    errno.EDQUOT: "your share of the disk is used up; free some space and try again",
    errno.EFBIG: "the file would be larger than this disk allows; choose another folder",
    errno.EROFS: "this disk is read-only; choose a folder on another",
    errno.EACCES: "you have no permission to write there; choose another folder",
    errno.EPERM: "you have no permission to write there; choose another folder",
    errno.ENOENT: "there is no such folder; make it first",
    errno.ENOTDIR: "part of the path is a file, not a folder; choose another place",
    errno.EISDIR: "there is a folder of that name; choose another name",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.EIO: "the disk reports an error; check its cable or choose another disk",
    errno.ENOLCK: "this folder has no file locks, like some network shares; choose one on this computer",
    errno.ENOTSUP: "this folder can't do that, like some network shares; choose one on this computer",
    errno.EOPNOTSUPP: "this folder can't do that, like some network shares; choose one on this computer",
    errno.ENOSYS: "this folder can't do that, like some network shares; choose one on this computer",
    errno.ESTALE: "the network share was changed or disconnected; connect it again, or choose another folder",
    errno.ETIMEDOUT: "the network share does not answer; connect it again, or choose another folder",
    errno.ENOTCONN: "the network share does not answer; connect it again, or choose another folder",
    errno.EHOSTDOWN: "the network share does not answer; connect it again, or choose another folder",
}

NO_ROOM_FOR_TEMPORARY = (
    "There is no space in the system's folder for temporary files; free some space on its disk and try again"
)
"""Whatever the system answers: Python looks in several folders, and only says that it found none."""

_NOT_OFFERED = (errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOTTY)

# Waits, in seconds, for a virus scanner or a reader on Windows to let go of a file that is to be replaced.
_PATIENCE = (0.01, 0.05, 0.2, 0.5) if sys.platform == "win32" else ()


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


def flush_folder(folder: "Path") -> None:
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


def replace(source: "Path", target: "Path") -> None:
    """Give a file its name, in place of what stands there."""
    for wait in _PATIENCE:
        try:
            source.replace(target)
            return
        except PermissionError:
            time.sleep(wait)
    source.replace(target)
