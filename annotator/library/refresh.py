"""Bring the index up to date with the folder: only what is new or changed is read, and nothing there is written."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from typing import Final

from annotator.errors import AnnotatorError, InvalidFile, StoreError
from annotator.formats.case.recordings import is_of_case
from annotator.library.entries import Writer
from annotator.library.tree import CaseFile
from annotator.progress import Progress
from annotator.store.reading import OnDisk, journal_path, read_case
from annotator.store.ways_out import head_of

LARGEST: Final = 64 * 1024**2
"""Bytes of a case file, and of the journal beside it; a case with a hundred thousand tags is smaller."""

_AT_ONCE: Final = 50
"""Cases written in one go: the others are kept where the work is stopped, and no process waits long for another."""

_MUCH: Final = 32 * 1024**2
"""Bytes of cases after which what was read is written, however few they are."""


def refresh(index: sqlite3.Connection, files: Sequence[CaseFile], progress: Progress) -> None:
    """Read what changed since the index saw it, and forget what is gone; `progress` counts files.

    Raises sqlite3.Error where the index can't be written; what was written before stays, and is sound.
    """
    known: dict[str, str] = dict(index.execute("SELECT name, stamp FROM cases"))
    there = {file.name for file in files}
    gone = [name for name in known if name not in there]
    if gone:
        with transaction(index):
            Writer(index).remove(gone)
    changed = [file for file in files if known.get(file.name) != file.stamp]
    done = 0
    for some in _batches(changed):
        read = []
        for file in some:
            progress(done, len(changed))
            read.append((file, _read(file)))
            done += 1
        _write(index, read)
    if changed:
        progress(done, done)


def _write(index: sqlite3.Connection, read: Sequence[tuple[CaseFile, OnDisk | str]]) -> None:
    with transaction(index):
        writer = Writer(index)
        writer.remove(file.name for file, _ in read)
        for file, found in read:
            if isinstance(found, str):
                writer.put_fault(file, found)
            else:
                writer.put(file, found.case, found.revision)


def _batches(files: Sequence[CaseFile]) -> Iterator[Sequence[CaseFile]]:
    some: list[CaseFile] = []
    for file in files:
        some.append(file)
        if len(some) == _AT_ONCE or sum(map(_size, some)) > _MUCH:
            yield some
            some = []
    if some:
        yield some


def _size(file: CaseFile) -> int:
    return int(file.stamp.split()[1])


def _read(file: CaseFile) -> OnDisk | str:
    """The case; or why it can't be read, in a sentence, which is empty where the file is none and says so."""
    try:
        if not file.sure and not is_of_case(head_of(file.path)):
            return ""
        _refuse_large(file)
        return read_case(file.path)
    except AnnotatorError as error:
        says = error.in_short(1) if isinstance(error, InvalidFile) else str(error)
        return says.replace(str(file.path), file.name).replace("\n ", ";")
    except RecursionError:
        return f"{file.name} can't be read: its values are nested too deeply"


def _refuse_large(file: CaseFile) -> None:
    """Raises StoreError; a file that went away meanwhile is left to whoever reads it."""
    sizes = [0]
    for path in (file.path, journal_path(file.path)):
        with suppress(OSError):
            sizes.append(path.lstat().st_size)
    if max(sizes) > LARGEST:
        raise StoreError(f"{file.name} is larger than {LARGEST // 1024**2} MB, too large for a library")


@contextmanager
def transaction(index: sqlite3.Connection) -> Iterator[None]:
    """All of what is written in the block, or nothing of it."""
    index.execute("BEGIN IMMEDIATE")
    try:
        yield
        index.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            index.execute("ROLLBACK")
        raise
