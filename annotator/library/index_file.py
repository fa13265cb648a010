"""The file of the index: in the cache folder, made anew where it is of no use, and done without where it can't be kept.

SQLite locks it for as long as somebody writes, so that several processes may bring it up to date at once.
"""

import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from annotator.errors import StoreError
from annotator.library.schema import TABLES, VERSION

PATIENCE: Final = 60.0
"""Seconds to wait for another process, which holds the index for as long as it takes to write some cases."""


def opened(path: Path | None) -> sqlite3.Connection:
    """A connection to the index at `path`, of today's form and maybe empty; without a path, one in memory.

    Raises sqlite3.Error or OSError where it can't be kept there.
    """
    if path is None:
        return _connected(":memory:")
    path.parent.mkdir(parents=True, exist_ok=True)
    try:
        return _connected(path)
    except sqlite3.DatabaseError as error:
        if isinstance(error, sqlite3.OperationalError):  # it may be sound, but is locked, or the disk is full
            raise
        remove(path)
        return _connected(path)


def remove(path: Path) -> None:
    """Take away an index that is damaged, with what SQLite keeps beside it."""
    for one in (path, path.with_name(f"{path.name}-journal")):
        with suppress(FileNotFoundError):
            one.unlink()


def _connected(place: Path | str) -> sqlite3.Connection:
    index = sqlite3.connect(place, timeout=PATIENCE, isolation_level=None)
    try:
        _bring_up(index)
    except BaseException:
        index.close()
        raise
    return index


def _bring_up(index: sqlite3.Connection) -> None:
    """Give an empty index its tables; one of another version loses those that it has first."""
    if _version(index) == VERSION:
        return
    index.execute("BEGIN IMMEDIATE")
    try:
        if _version(index) != VERSION:  # another process may have done it meanwhile
            _drop_all(index)
            _create(index)
        index.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):
            index.execute("ROLLBACK")
        raise


def _version(index: sqlite3.Connection) -> int:
    return int(index.execute("PRAGMA user_version").fetchone()[0])


def _drop_all(index: sqlite3.Connection) -> None:
    with closing(index.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND sql LIKE '%VIRTUAL%'")) as rows:
        virtual = [name for (name,) in rows]
    for name in virtual:  # what belongs to a virtual table goes with it
        index.execute(f'DROP TABLE "{name}"')
    with closing(index.execute("SELECT name FROM sqlite_master WHERE type = 'table'")) as rows:
        plain = [name for (name,) in rows]
    for name in plain:
        index.execute(f'DROP TABLE "{name}"')


def _create(index: sqlite3.Connection) -> None:
    for statement in filter(str.strip, TABLES.split(";")):
        try:
            index.execute(statement)
        except sqlite3.OperationalError as error:
            if "fts5" in str(error):
                raise StoreError("This Python has no full-text search; use one whose SQLite has FTS5") from error
            raise
    index.execute(f"PRAGMA user_version = {VERSION}")
