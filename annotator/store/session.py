"""A case that is open: the one gate through which it is changed."""

import os
from collections.abc import Callable
from contextlib import ExitStack, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from msgspec.structs import replace

from annotator.errors import CaseBusy, ChangedOutside, InvalidEdit, NotSaved, StoreError
from annotator.formats.case import casefile, journal
from annotator.formats.case.journal_record import record_of
from annotator.model.case import Case, Tag
from annotator.model.delta import Delta, applied, between
from annotator.model.edits import Edit
from annotator.store.files import read_bounded
from annotator.store.history import Done, History
from annotator.store.journal_file import JournalFile
from annotator.store.known_file import KnownFile, digest_of
from annotator.store.lock import Lock
from annotator.store.reading import OnDisk, journal_path, read_case, refuse_nameless
from annotator.store.recovery import said_of, set_aside, sweep
from annotator.store.saving import Saving
from annotator.store.sound import checked

FOLD_AT = 64 * 1024**2
"""Bytes of journal at which the case is saved before the next change, so that opening stays quick."""

_NEVER = -1
"""The revision of a file that is to be written in any case."""


class Change(NamedTuple):
    """A change that was made and is on disk: one line for the user, the case on both sides, and how they differ."""

    says: str
    before: Case
    after: Case
    delta: Delta


Listener = Callable[[Change], None]


def utc_now() -> datetime:
    return datetime.now(UTC)


class Session:
    """A case open for changing by this process alone, or for reading. For one thread at a time, but for what
    `begin_saving` gives.

    path       of the case file, links resolved
    read_only  whether changes are refused
    holder     who has the case open for changing, where it is open for reading and somebody has
    recovered  how many changes were not in the case file but came from the journal
    warnings   sentences about what was found when opening
    """

    def __init__(self, path: Path, found: OnDisk, lock: Lock | None, now: Callable[[], datetime]) -> None:
        self.path = path
        self.holder: str | None = None
        self.recovered = found.recovered
        self.warnings: tuple[str, ...] = ()
        self._case = found.case
        self._revision = found.revision
        self._saved = found.saved
        self._file_size = found.size
        self._file = KnownFile(path, found.digest)
        self._lock = lock
        self._journal = JournalFile(path, found.journal)
        self._now = now
        self._history = History()
        self._saving: Saving | None = None
        self._listeners: list[Listener] = []
        self._is_closed = False

    # --- opening and closing -----------------------------------------------------------------------------

    @classmethod
    def create(cls, path: Path, case: Case, *, overwrite: bool = False, now: Callable[[], datetime] = utc_now) -> Self:
        """Write a new case file and open it. Where this fails, nothing is left behind.

        Raises StoreError where there is a file of that name already (unless `overwrite`: then its content is kept
        as the previous version) or none can be written, InvalidEdit for a case that could not be read back.
        """
        path = _real(path)
        data = checked(case)
        lock = Lock(path)
        with ExitStack() as undo:
            lock.acquire()
            undo.callback(lock.release)
            existed = path.exists()
            if existed and not overwrite:
                raise StoreError(f"{path} already exists; choose another name")
            before = digest_of(read_bounded(path, casefile.LARGEST)) if existed else None
            set_aside(path)
            if not existed:
                undo.callback(_take_back, path, data)
            KnownFile(path, before).replace(data)
            undo.pop_all()
        return cls(path, OnDisk(case, len(data), digest_of(data), 0, 0), lock, now)

    @classmethod
    def open(cls, path: Path, writable: bool = True, *, now: Callable[[], datetime] = utc_now) -> Self:
        """Open a case with every change that was ever acknowledged.

        Raises CaseBusy where another process has it open for changing and this one wants to, StoreError where
        it can't be opened or (if `writable`) changed here, InvalidFile where the file holds no sound case.
        """
        path = _real(path)
        if not writable:
            found = read_case(path)
            session = cls(path, found, None, now)
            session.holder = Lock(path).holder()
            session.warnings = said_of(found, journal_path(path))
            return session
        lock = Lock(path)
        with ExitStack() as undo:
            lock.acquire()
            undo.callback(lock.release)
            sweep(path)
            found = read_case(path)
            session = cls(path, found, lock, now)
            if not found.is_whole:
                session.warnings = said_of(found, set_aside(path, len(found.journal)))
            undo.pop_all()
        return session

    def close(self) -> None:
        """Save what is not saved yet, and give the case back. No file is left but the case and its previous version.

        Raises NotSaved where it can't be saved: the changes are then still in the journal, and taken in when the
        case is next opened; or StoreError where another program has changed the file: they are kept in a copy of the
        case.
        """
        if self._is_closed:
            return
        try:
            self._wait()
            if not self.read_only and not self.is_saved:
                self.save()
            self.let_go()
        except (NotSaved, CaseBusy):
            raise
        except StoreError as error:
            copy = self.give_way()
            raise StoreError(f"{error}. What is there stays as it is, and your version is saved as {copy}") from error
        finally:
            self._give_back()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    # --- what there is ------------------------------------------------------------------------------------

    @property
    def case(self) -> Case:
        return self._case

    @property
    def revision(self) -> int:
        """How many changes the case has had."""
        return self._revision

    @property
    def read_only(self) -> bool:
        return self._lock is None

    @property
    def is_closed(self) -> bool:
        return self._is_closed

    @property
    def is_saved(self) -> bool:
        """Whether every change is in the case file, as it was written last."""
        return self._saved == self._revision

    @property
    def can_undo(self) -> bool:
        return self._history.undoes is not None

    @property
    def can_redo(self) -> bool:
        return self._history.redoes is not None

    @property
    def undoes(self) -> str:
        """The line of the change that `undo` takes back; empty for none."""
        return self._history.undoes or ""

    @property
    def redoes(self) -> str:
        """The line of the change that `redo` makes again; empty for none."""
        return self._history.redoes or ""

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` after every change, once it is on disk. Returns a function that ends this."""
        self._listeners.append(listener)

        def unsubscribe() -> None:
            if listener in self._listeners:
                self._listeners.remove(listener)

        return unsubscribe

    # --- changing -----------------------------------------------------------------------------------------

    def do(self, edit: Edit) -> Change:
        """Apply an edit, wait until the disk has it, and tell the subscribers.

        New and changed tags get their times of creation and change here. An edit that changes nothing is
        neither kept nor told. Raises what the edit raises, InvalidEdit for a case that could not be read back,
        StoreError where the disk does not take it: the case then is as it was.
        """
        self._refuse_unless_writable()
        edited = edit(self._case)
        forward, backward = between(self._case, edited.case)
        if forward.is_empty:
            return Change(edited.says, self._case, self._case, forward)
        forward = forward._replace(put=self._stamped(forward.put))
        change = self._commit(forward, edited.says)
        self._history.add(Done(edited.says, forward, backward))
        return self._told(change)

    def undo(self) -> Change:
        """Take back the last change that still stands, also one that is saved. Raises as `do` does."""
        self._refuse_unless_writable()
        last = self._history.to_undo()
        change = self._commit(last.backward, f"Undone: {last.says}")
        self._history.undone()
        return self._told(change)

    def redo(self) -> Change:
        """Make the change again that was undone last. Raises as `do` does."""
        self._refuse_unless_writable()
        last = self._history.to_redo()
        change = self._commit(last.forward, f"Redone: {last.says}")
        self._history.redone()
        return self._told(change)

    def save(self) -> None:
        """Write the case file anew in one step, keep the one before it, and empty the journal; after a save that is
        under way, whatever comes of that.

        Raises ChangedOutside where the file is not the one that was read or written last, NotSaved where the disk
        does not take it: the case file then is what it was, and every change still in the journal. Raises StoreError
        where another program has changed these meanwhile, so that the case is whole in this session alone.
        """
        self._wait()
        saving = self.begin_saving()
        if saving is not None:
            saving.write()
            self.end_saving()

    def begin_saving(self) -> Saving | None:
        """What writes the case as it is now, in any thread; until `end_saving` it may be changed. None where it is
        saved already, or a save is under way.

        Raises as `save` does.
        """
        self._refuse_unless_writable()
        if self._saving is None and self.is_saved:
            self.look()
        elif self._saving is None:
            self._saving = Saving(self._case, self._revision, self._file, self._journal)
            return self._saving
        return None

    def end_saving(self) -> None:
        """Take in what has come of a save, once it is written. Raises as `save` does."""
        saving, self._saving = self._saving, None
        if saving is not None:
            self._file_size = saving.result()
            self._saved = saving.revision
            if self.is_saved:
                self._journal.empty()

    # --- where another program has changed the file ---------------------------------------------------------

    def look(self) -> None:
        """Raises ChangedOutside where the file is not the one that was read or written last, StoreError.

        A save that is under way looks for itself.
        """
        if not self.read_only and not self._is_closed and self._saving is None:
            self._file.look()

    def keep_mine(self) -> Path | None:
        """Save in place of what another program has put there, of which a copy is kept; returns that, if there was any.

        Raises StoreError, and ChangedOutside where it has been changed once more.
        """
        self._refuse_unless_writable()
        self._wait()
        copy = self._file.keep_other()
        self._saved = _NEVER
        self.save()
        return copy

    def give_way(self) -> Path:
        """Keep the case as it is here in a copy, and close it without a change to what stands in its place.

        Returns the copy. Raises StoreError; the case is then still open.
        """
        self._wait()
        copy = self._file.keep_copy("mine", casefile.dumps(self._case, self._revision))
        self.let_go()
        return copy

    def let_go(self) -> None:
        """Close without saving. For whoever has kept the case elsewhere: what the journal holds is given up."""
        self._wait()
        if self._lock is not None and self._lock.is_held:
            self._journal.remove()
        self._give_back()

    # --- parts ----------------------------------------------------------------------------------------------

    def _wait(self) -> None:
        """Until no save is under way. Where it has failed, the next one will say so."""
        with suppress(StoreError):
            self.end_saving()

    def _commit(self, delta: Delta, says: str) -> Change:
        if self._journal.length > FOLD_AT:
            self.save()
        before, after = self._case, applied(self._case, delta)
        if after.id != before.id:
            raise InvalidEdit("a case keeps its id for good")
        line = journal.dumps(record_of(before, after, delta, self._revision + 1))
        self._refuse_too_large(line)
        try:
            note = self._journal.append(line)
        except StoreError as error:
            raise StoreError(f"Nothing was changed; {error}") from error
        self._case = after
        self._revision += 1
        return Change(f"{says}; {note}" if note else says, before, after, delta)

    def _refuse_too_large(self, line: bytes) -> None:
        """What does not fit into a case file may not be acknowledged. Saved, a case takes less than its journal."""
        if self._file_size + self._journal.length + len(line) > casefile.LARGEST:
            self.save()
        if self._file_size + len(line) > casefile.LARGEST:
            raise InvalidEdit(f"the case would be larger than the {casefile.LARGEST // 1024**2} MB that one may have")

    def _told(self, change: Change) -> Change:
        for listener in tuple(self._listeners):
            listener(change)
        return change

    def _stamped(self, tags: tuple[Tag, ...]) -> tuple[Tag, ...]:
        now = self._now().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        return tuple(replace(tag, created=tag.created or now, modified=now) for tag in tags)

    def _refuse_unless_writable(self) -> None:
        if self._is_closed:
            raise StoreError(f"{self.path} is closed; open it again to edit it")
        if self.holder is not None:
            raise CaseBusy(str(self.path), self.holder)
        if self._lock is None:
            raise StoreError(f"{self.path} is open read-only; open it for editing")
        if not self.path.parent.is_dir():
            raise ChangedOutside(str(self.path), is_gone=True)
        self._lock.keep()

    def _give_back(self) -> None:
        self._wait()
        self._is_closed = True
        self._journal.close()
        if self._lock is not None:
            self._lock.release()


def _real(path: Path) -> Path:
    """Without links, so that one case has one lock, whatever name it is opened by. Raises StoreError for no name."""
    real = Path(os.path.realpath(path))
    refuse_nameless(real)
    return real


def _take_back(path: Path, data: bytes) -> None:
    """A new file may be in place although the disk did not confirm it; then it was not created."""
    with suppress(OSError):
        if read_bounded(path, casefile.LARGEST) == data:
            path.unlink()
