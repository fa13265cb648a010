"""The case files in a folder tree. Links are not followed: what they lead to may be anybody's, or the tree itself."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

from annotator.errors import StoreError
from annotator.store.reading import CASE_ENDING, journal_path
from annotator.store.ways_out import CASE_ENDINGS

DEEPEST: Final = 30
"""Levels of folders below the library's own."""

MOST_ENTRIES: Final = 500_000
"""Files and folders that are looked at."""


class CaseFile(NamedTuple):
    """A file that may hold a case.

    name   its path from the library's folder, with forward slashes
    stamp  what differs once it, or the journal beside it, is another or was written to
    sure   whether its name says that it is a case
    """

    name: str
    path: Path
    stamp: str
    sure: bool


class Tree(NamedTuple):
    """What was found, in the order of the names, and a sentence for each part that was not looked at."""

    files: tuple[CaseFile, ...]
    left_out: tuple[str, ...]


def case_files(folder: Path) -> Tree:
    """Every file below the folder that may hold a case, hidden files and folders left out. Raises StoreError."""
    if not folder.is_dir():
        what = "is a file; name the folder that holds the cases" if folder.exists() else "is not there; check its name"
        raise StoreError(f"The folder {folder} {what}")
    left_out: list[str] = []
    files = [one for path in _files(folder, left_out) if (one := _case_file(folder, path, left_out)) is not None]
    return Tree(tuple(sorted(files)), tuple(left_out))


def _case_file(folder: Path, path: Path, left_out: list[str]) -> CaseFile | None:
    stamp = _stamp(path)
    if stamp is None:  # it went away meanwhile
        return None
    name = path.relative_to(folder).as_posix()
    try:
        name.encode()
    except UnicodeEncodeError:
        left_out.append(f"the name of {name} is no text; rename the file")
        return None
    return CaseFile(name, path, f"{stamp} {_stamp(journal_path(path))}", path.name.lower().endswith(CASE_ENDING))


def _stamp(path: Path) -> str | None:
    try:
        found = path.lstat()
    except OSError:
        return None
    return f"{found.st_ino} {found.st_size} {found.st_mtime_ns}"


def _files(folder: Path, left_out: list[str]) -> Iterator[Path]:
    """The files whose names may be those of cases, level by level."""
    level = [folder]
    seen = 0
    for _ in range(DEEPEST + 1):
        below: list[Path] = []
        for one in level:
            for entry in _entries(one, left_out):
                seen += 1
                if seen > MOST_ENTRIES:
                    left_out.append(f"more than {MOST_ENTRIES:,} files lie below {folder}; name a smaller folder")
                    return
                if entry.name.startswith("."):
                    continue
                if entry.is_dir(follow_symlinks=False):
                    below.append(Path(entry))
                elif entry.name.lower().endswith(CASE_ENDINGS) and entry.is_file(follow_symlinks=False):
                    yield Path(entry)
        level = below
    left_out += [f"{one} is more than {DEEPEST} folders deep and was not looked at" for one in level[:1]]


def _entries(folder: Path, left_out: list[str]) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except OSError as error:
        left_out.append(f"{folder} can't be read: {error.strerror or error}")
        return []
