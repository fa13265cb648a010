"""The journal on disk: it only grows, line by line, each on disk before it counts, until the case is saved."""

import os
from contextlib import suppress
from pathlib import Path
from threading import Lock

from annotator.durable import flush_file, flush_folder, why
from annotator.errors import StoreError
from annotator.formats.case import journal
from annotator.plain_file import open_plain
from annotator.store.atomic import write_all, write_beside
from annotator.store.files import Facts, facts_of, read_beside
from annotator.store.reading import LARGEST_JOURNAL, journal_path
from annotator.store.recovery import keep_aside

_CHANGED = "another program had changed the journal; it was written again"


class JournalFile:
    """Appends to the journal of one case, from any thread. Whoever has it must hold the case's lock.

    `content` is what is sound of it, and is held in memory too: a program that keeps folders alike on two machines,
    or tidies one, may take the file away at any time, and what was acknowledged must not go with it. Behind it may
    stand what a kill or a full disk left of a change that was never acknowledged; that is cut off before the next.
    """

    def __init__(self, case_path: Path, content: bytes = b"") -> None:
        self._case_path = case_path
        self._path = journal_path(case_path)
        self._content = bytearray(content)
        self._refused = b""
        self._descriptor: int | None = None
        self._known: Facts | None = None
        self._one_at_a_time = Lock()

    @property
    def length(self) -> int:
        """In bytes."""
        return len(self._content)

    def is_whole(self) -> bool:
        """Whether the disk has all that was acknowledged."""
        with self._one_at_a_time:
            try:
                return read_beside(self._path, LARGEST_JOURNAL).startswith(self._content)
            except StoreError:
                return not self._content

    def append(self, line: bytes) -> str:
        """Add a line and wait until the disk has it; returns what the user should know of the file, mostly nothing.

        Raises StoreError; the journal then is as it was before.
        """
        with self._one_at_a_time:
            try:
                descriptor, note = self._ready()
                self._write(descriptor, line)
            except StoreError:
                raise
            except OSError as error:
                raise StoreError(f"{self._path} can't be written: {why(error)}") from error
            self._content += line
            self._refused = b""
            self._known = facts_of(self._path)
            return note

    def empty(self) -> None:
        """Start anew: everything in it stands in the case file now."""
        self._refused, self._content = bytes(self._content), bytearray()
        self._known = None
        self._cut()

    def close(self) -> None:
        if self._descriptor is not None:
            os.close(self._descriptor)
            self._descriptor = None

    def remove(self) -> None:
        """Take the file away, unless another has taken its place since it was last written to."""
        self.close()
        if self._known in (None, facts_of(self._path)):
            with suppress(OSError):
                self._path.unlink(missing_ok=True)

    def _ready(self) -> tuple[int, str]:
        """The file, open, with nothing in it but the content; and a note where it had to be written anew."""
        if self._descriptor is not None and self._known is not None and self._known == facts_of(self._path):
            return self._descriptor, ""
        note = ""
        descriptor, found = self._opened()
        if not self._is_ours(found):
            self.close()
            if found:
                keep_aside(self._case_path)
            write_beside(self._path, bytes(self._content))
            note = _CHANGED
            descriptor, found = self._opened()
        if len(found) > len(self._content):
            os.ftruncate(descriptor, len(self._content))
        return descriptor, note

    def _write(self, descriptor: int, line: bytes) -> None:
        self._known, self._refused = None, line
        try:
            write_all(descriptor, line)
            flush_file(descriptor)
        except OSError:
            self._cut()
            raise

    def _opened(self) -> tuple[int, bytes]:
        """Open the file anew and read it."""
        self.close()
        self._descriptor = open_plain(self._path, os.O_RDWR | os.O_APPEND | os.O_CREAT)
        flush_folder(self._path.parent)
        with open(self._descriptor, "rb", closefd=False) as file:
            return self._descriptor, file.read()

    def _is_ours(self, found: bytes) -> bool:
        """Whether the file holds the content, and behind it at most the rest of a change that was refused."""
        behind = found[len(self._content) :]
        if not found.startswith(self._content):
            return False
        return self._refused.startswith(behind) or not journal.loads(behind).records

    def _cut(self) -> None:
        """Where this fails, the next append tries again, and reading stops at the torn line or at the saved mark."""
        if self._descriptor is not None:
            with suppress(OSError):
                os.ftruncate(self._descriptor, len(self._content))
