"""Write a file so that a reader, a kill or a power cut finds the old content or the new, never a part."""

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from annotator.durable import flush_file, flush_folder, replace, why
from annotator.errors import StoreError
from annotator.parts import part_in


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
    with part_in(target.parent) as part:
        _write_new(part, data, like=target)
        last_look()
        replace(part, target)
        flush_folder(target.parent)


def _write_new(path: Path, data: bytes, like: Path) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        write_all(descriptor, data)
        flush_file(descriptor)
    finally:
        os.close(descriptor)
    with suppress(FileNotFoundError):
        mode = like.lstat().st_mode
        if stat.S_ISREG(mode):
            path.chmod(mode & 0o7777)
