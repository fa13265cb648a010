"""A case's file while the case is open: whether it is still the one that was read or written last.

A program that keeps folders alike on two machines, a backup that is put back, or a person may put another in its place
at any time. That is never written over, nor is what was done here.
"""

import os
import stat
from hashlib import sha256
from itertools import count
from pathlib import Path

from annotator.errors import ChangedOutside, StoreError
from annotator.formats.case.casefile import LARGEST
from annotator.store.atomic import write_beside
from annotator.store.files import Facts, facts_of, read_bounded
from annotator.store.reading import CASE_ENDING, previous_path


class KnownFile:
    """`digest` is that of its content, None where there is no file yet."""

    def __init__(self, path: Path, digest: str | None) -> None:
        self._path = path
        self._own = {digest}
        self._others = set[str | None]()
        self._seen: Facts | None = None

    def look(self) -> None:
        """Raises ChangedOutside where the file is not what is known. It is read only where its facts are new."""
        facts = facts_of(self._path)
        if facts is None or facts != self._seen:
            self._known_there()
            self._seen = facts

    def replace(self, data: bytes) -> None:
        """Write the file anew in one step, and keep what was there as the previous version.

        Raises ChangedOutside where that is not what is known, StoreError where the disk does not take it.
        """
        facts, before = facts_of(self._path), self._known_there()
        if before is not None:
            write_beside(previous_path(self._path), before)
        written = digest_of(data)
        self._own.add(written)  # a disk may put it in place, and then fail to confirm that
        write_beside(self._path, data, lambda: self._look_again(facts))
        self._own, self._others = {written}, set()
        self._seen = facts_of(self._path)

    def keep_other(self) -> Path | None:
        """Keep a copy of what is there, if it is not known, and know it from now on. Raises as `replace` does."""
        other = self._there()
        digest = None if other is None else digest_of(other)
        if digest in self._own | self._others:
            return None
        copy = None if other is None else self.keep_copy("other", other)
        self._others.add(digest)
        return copy

    def is_own(self) -> bool:
        """Whether the file is the one that this program read or wrote last, and so what a journal goes on from."""
        try:
            there = self._there()
        except StoreError:
            return False
        return there is not None and digest_of(there) in self._own

    def keep_copy(self, whose: str, data: bytes) -> Path:
        """Keep a version of the case beside it, under a name by which it can be opened. Raises StoreError."""
        name = self._path.name
        stem = name[: -len(CASE_ENDING)] if name.lower().endswith(CASE_ENDING) else self._path.stem
        names = (self._path.with_name(f"{stem}-{whose}-{number}{name[len(stem) :]}") for number in count(1))
        copy = next(name for name in names if not os.path.lexists(name))
        write_beside(copy, data)
        return copy

    def _look_again(self, facts: Facts | None) -> None:
        """Another program may be faster than the disk that is waited for. Raises ChangedOutside."""
        if facts_of(self._path) != facts:
            self._known_there()

    def _known_there(self) -> bytes | None:
        there = self._there()
        if (None if there is None else digest_of(there)) not in self._own | self._others:
            raise ChangedOutside(str(self._path), is_gone=there is None)
        return there

    def _there(self) -> bytes | None:
        """What stands in the file's place; raises ChangedOutside for what can't be kept in a copy, such as a folder."""
        try:
            found = self._path.lstat()
        except (FileNotFoundError, NotADirectoryError):
            return None
        except OSError as error:
            raise StoreError(f"{self._path} can't be read: {error.strerror or error}") from error
        if not stat.S_ISREG(found.st_mode):
            raise ChangedOutside(str(self._path), is_gone=False)
        return read_bounded(self._path, LARGEST)


def digest_of(data: bytes) -> str:
    return sha256(data).hexdigest()
