"""Write a file so that a reader, a kill or a power cut finds the old content or the new, never a part."""

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from annotator.durable import why
from annotator.errors import StoreError
from annotator.parts import whole_file


def _nothing() -> None:
    """The last look of whoever needs none."""


def write_atomically(path: Path, data: bytes) -> None:
    """Make `data` the content of the file, on disk before this returns. A link is followed, access rights are kept.

    Raises StoreError with what to try; the file is then as it was.
    """
    try:
        _replace_whole(Path(os.path.realpath(path)), data, _nothing)
    except StoreError:
        raise
    except OSError as error:
        raise StoreError(f"{path} can't be written: {why(error)}") from error


def write_beside(path: Path, data: bytes, last_look: Callable[[], None] = _nothing) -> None:
    """The same for a file that stands beside a case: a link of its name is replaced, never followed.

    `last_look` is called right before the old content goes; what it raises leaves that as it is.
    """
    try:
        _replace_whole(path, data, last_look)
    except StoreError:
        raise
    except OSError as error:
        raise StoreError(f"{path} can't be written: {why(error)}") from error


def write_all(descriptor: int, data: bytes) -> None:
    """Write all of `data`, however many calls that takes."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def _replace_whole(target: Path, data: bytes, last_look: Callable[[], None]) -> None:
    def settle(part: Path) -> None:
        _take_rights(part, target)
        last_look()

    with whole_file(target, settle) as part:
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        try:
            write_all(descriptor, data)
        finally:
            os.close(descriptor)


def _take_rights(part: Path, target: Path) -> None:
    """Those of the file that stands there, if one does."""
    with suppress(FileNotFoundError):
        mode = target.lstat().st_mode
        if stat.S_ISREG(mode):
            part.chmod(mode & 0o7777)
