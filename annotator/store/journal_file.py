"""The journal on disk: it only grows, line by line, each on disk before it counts, until the case is saved."""

from contextlib import suppress
from io import FileIO
from pathlib import Path

from annotator.durable import flush_file, flush_folder, why
from annotator.errors import StoreError
from annotator.store.atomic import write_all


class JournalFile:
    """Appends to the journal of one case. Whoever has it must hold the case's lock.

    `length` is how much of it is sound; anything behind that is what a kill or a full disk left of
    a change that was never acknowledged, and is cut off before the next is written.
    """

    def __init__(self, path: Path, length: int = 0) -> None:
        self._path = path
        self._file: FileIO | None = None
        self._is_trusted = False
        self.length = length

    def append(self, line: bytes) -> None:
        """Add a line and wait until the disk has it. Raises StoreError; the journal then is as it was before."""
        try:
            file = self._opened()
            if not self._is_trusted:
                file.truncate(self.length)
            self._is_trusted = False
            write_all(file.fileno(), line)
            flush_file(file.fileno())
        except OSError as error:
            self._cut()
            raise StoreError(f"{self._path} can't be written: {why(error)}") from error
        self._is_trusted = True
        self.length += len(line)

    def empty(self) -> None:
        """Start anew: everything in it stands in the case file now."""
        self.length = 0
        self._is_trusted = False
        self._cut()

    def close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None

    def remove(self) -> None:
        self.close()
        with suppress(OSError):
            self._path.unlink(missing_ok=True)

    def _opened(self) -> FileIO:
        if self._file is None:
            file = FileIO(self._path, "a+")
            try:
                flush_folder(self._path.parent)
            except OSError:
                file.close()
                raise
            self._file = file
        return self._file

    def _cut(self) -> None:
        """Where this fails, the next append tries again, and reading stops at the torn line or at the saved mark."""
        if self._file is not None:
            with suppress(OSError):
                self._file.truncate(self.length)
