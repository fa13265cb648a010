"""Open a file that must be one of its own: a stranger's folder may hold a link to another under its name."""

import os
import stat
from pathlib import Path

# Not every system has each of these; where links can't be refused in opening, they are before and after it.
_ALONE = sum(getattr(os, name, 0) for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY"))


class NotPlain(OSError):
    """What stands under a name is no file of its own."""


def open_plain(path: Path, flags: int) -> int:
    """A descriptor for a regular file that has no other name; `flags` as for os.open.

    Nothing else is opened: a pipe would make the program wait, and what is written through a link changes another
    file. Whose file it is does not matter: in a department's folder it may be a colleague's. Raises NotPlain, OSError.
    """
    refuse_unless_plain(path)
    descriptor = os.open(path, flags | _ALONE, 0o666)
    try:
        _refuse(path, os.fstat(descriptor))
        refuse_unless_plain(path)
    except OSError:
        os.close(descriptor)
        raise
    return descriptor


def refuse_unless_plain(path: Path) -> None:
    """Raises NotPlain where anything but a file of its own stands under the name; nothing at all is as good."""
    try:
        found = path.lstat()
    except FileNotFoundError:
        return
    _refuse(path, found)


def _refuse(path: Path, found: os.stat_result) -> None:
    if stat.S_ISLNK(found.st_mode):
        what = "is a link to another place"
    elif not stat.S_ISREG(found.st_mode):
        what = "is a folder, a pipe or a device, not a file"
    elif found.st_nlink > 1:
        what = "has a second name elsewhere (a hard link), where it would change too"
    else:
        return
    raise NotPlain(f"“{path.name}” {what}; remove it and try again")
