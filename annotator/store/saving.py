"""One save of a case, which another thread may make while the case goes on being changed."""

from threading import Event

from annotator.errors import ChangedOutside, NotSaved, StoreError
from annotator.formats.case import casefile, journal
from annotator.formats.case.journal import Record
from annotator.model.case import Case
from annotator.store.journal_file import JournalFile
from annotator.store.known_file import KnownFile, digest_of


class Saving:
    """The case as it was when it was asked for.

    Changes that come meanwhile go to the journal, before its mark of this save or behind it; whoever reads it tells
    them by their revision.
    """

    def __init__(self, case: Case, revision: int, file: KnownFile, journal_file: JournalFile) -> None:
        self._case = case
        self.revision = revision
        self._file = file
        self._journal = journal_file
        self._ended = Event()
        self._error: StoreError | None = None
        self._size: int | None = None

    def write(self) -> None:
        """Write the case file anew in one step, and keep the one before it; in any thread, once. What comes of it is
        kept for `result`.
        """
        try:
            self._size = self._write()
        except StoreError as error:
            self._error = error
        finally:
            self._ended.set()

    def result(self) -> int:
        """How large the file is, in bytes. Waits until it is written.

        Raises ChangedOutside where the file is not the one that was read or written last, NotSaved where the disk
        does not take it: the case file then is what it was, and every change still in the journal. Raises StoreError
        where another program has changed these meanwhile, so that the case is whole in this process alone.
        """
        self._ended.wait()
        if self._error is not None:
            raise self._error
        if self._size is None:
            raise NotSaved("The case was not saved, but its changes are safe in the journal")
        return self._size

    def _write(self) -> int:
        data = casefile.dumps(self._case, self.revision)
        mark = Record(self.revision, self._case.id, saved=digest_of(data))
        try:
            self._journal.append(journal.dumps(mark))
            self._file.replace(data)
        except ChangedOutside:
            raise
        except StoreError as error:
            if self._journal.is_whole() and self._file.is_own():
                raise NotSaved(f"The case was not saved, but its changes are safe in the journal; {error}") from error
            raise StoreError(f"The case was not saved; {error}") from error
        return len(data)
