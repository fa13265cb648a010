"""A library: a folder tree of cases, read through its index."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from zlib import decompress

import msgspec

from annotator.library import index_file
from annotator.library.refresh import refresh
from annotator.library.tree import Tree, case_files
from annotator.model.place import Eye
from annotator.model.roles import Roles
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Vocabulary
from annotator.progress import Progress, silent
from annotator.workflow.own_folders import cache_folder


class CaseEntry(NamedTuple):
    """What the index has of a case.

    number               in the index
    name                 path of its file from the library's folder
    is_altered           whether a recording does not run as the operation did
    vocabulary, roles    numbers of them in the index
    """

    number: int
    name: str
    title: str
    eye: Eye | None
    duration: Ms
    is_altered: bool
    vocabulary: int
    roles: int


class Library:
    """The cases of a folder tree as they were when it was opened.

    cases     by their numbers, in the order of their names; each operation once
    left_out  a sentence for each file or folder that could not be read, and for the index where it can't be kept
    """

    def __init__(self, folder: Path, index: sqlite3.Connection, left_out: Sequence[str]) -> None:
        self.folder = folder
        self.index = index
        self.cases, copies = _without_copies(index)
        faults = index.execute("SELECT fault FROM cases WHERE fault != '' ORDER BY name")
        self.left_out = (*left_out, *(fault for (fault,) in faults), *copies)

    @cached_property
    def vocabularies(self) -> dict[int, Vocabulary]:
        """By their numbers, that of most cases first; only those that cases have."""
        rows = self.index.execute(
            "SELECT vocabularies.id, data FROM vocabularies JOIN cases ON cases.vocabulary = vocabularies.id"
            " GROUP BY vocabularies.id ORDER BY count(*) DESC, vocabularies.id"
        )
        return {number: msgspec.json.decode(decompress(data), type=Vocabulary) for number, data in rows}

    @cached_property
    def roles(self) -> dict[int, Roles]:
        """By their numbers, that of most cases first; only those that cases have."""
        rows = self.index.execute(
            "SELECT roles.id, data FROM roles JOIN cases ON cases.roles = roles.id"
            " GROUP BY roles.id ORDER BY count(*) DESC, roles.id"
        )
        return {number: msgspec.json.decode(data, type=Roles) for number, data in rows}

    @cached_property
    def facts(self) -> dict[str, list[str]]:
        """By the name of each fact the values that cases have of it."""
        found: dict[str, list[str]] = {}
        for name, value in self.index.execute("SELECT DISTINCT name, value FROM facts ORDER BY name, value"):
            found.setdefault(name, []).append(value)
        return found


def _without_copies(index: sqlite3.Connection) -> tuple[dict[int, CaseEntry], list[str]]:
    """The cases, each operation once, and a sentence for each file that would count it again.

    That is a copy of a case, and what a second person tagged blind beside the case of the first.
    """
    rows = index.execute(
        "SELECT iri, blind_to, id, name, title, eye, duration, is_altered, vocabulary, roles FROM cases"
        " WHERE iri IS NOT NULL ORDER BY revision DESC, name"
    )
    newest: dict[str, CaseEntry] = {}
    second: dict[str, str] = {}
    again: list[str] = []
    for iri, blind_to, *row in rows:
        entry = CaseEntry(*row)
        entry = entry._replace(eye=Eye(entry.eye) if entry.eye else None, is_altered=bool(entry.is_altered))
        kept = newest.setdefault(iri, entry)
        if kept.number != entry.number:
            again.append(f"{entry.name} is a copy of {kept.name}, which counts")
        elif blind_to:
            second[iri] = blind_to
    for iri, first in second.items():
        if first in newest and first not in second:
            again.append(f"{newest[iri].name} is a second person’s tags of {newest[first].name}, which counts")
    counted = [one for iri, one in newest.items() if second.get(iri) not in newest or second[iri] in second]
    return {one.number: one for one in sorted(counted, key=lambda one: one.name)}, again


@contextmanager
def opened(folder: Path, progress: Progress = silent, kept_in: Path | None = None) -> Iterator[Library]:
    """The library of a folder tree, its index brought up to date, in the folder `kept_in` or the usual one.

    `progress` counts the files that have to be read. Nothing in the tree is written. Raises StoreError where there is
    no such folder; a case that can't be read is said in `left_out`.
    """
    tree = case_files(folder)
    index, note = _up_to_date(folder, tree, progress, kept_in or cache_folder())
    try:
        yield Library(folder, index, (*note, *tree.left_out))
    finally:
        index.close()


def index_path(folder: Path, kept_in: Path) -> Path:
    """Where the index of a folder is kept."""
    return kept_in / f"{sha256(str(folder.resolve()).encode('utf-8', 'surrogateescape')).hexdigest()[:40]}.library"


def _up_to_date(
    folder: Path, tree: Tree, progress: Progress, kept_in: Path
) -> tuple[sqlite3.Connection, tuple[str, ...]]:
    """The index, and a sentence where it could not be kept. A damaged one is made anew, once."""
    path = index_path(folder, kept_in)
    try:
        return _refreshed(path, tree, progress), ()
    except sqlite3.OperationalError as error:
        why: Exception = error
    except OSError as error:
        why = error
    except sqlite3.DatabaseError:
        index_file.remove(path)
        try:
            return _refreshed(path, tree, progress), ()
        except (sqlite3.Error, OSError) as error:
            why = error
    says = f"the index can't be kept in {kept_in} ({why}), so every case is read anew each time"
    return _refreshed(None, tree, progress), (says,)


def _refreshed(path: Path | None, tree: Tree, progress: Progress) -> sqlite3.Connection:
    index = index_file.opened(path)
    try:
        refresh(index, tree.files, progress)
    except BaseException:
        index.close()
        raise
    return index
