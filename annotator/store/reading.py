"""Read a case as it is on disk: the case file, and the changes in its journal that it does not hold yet."""

from collections.abc import Sequence
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from annotator.errors import InvalidFile, NewerSchema, StoreError
from annotator.formats.case import casefile, journal
from annotator.formats.case.journal import Record
from annotator.formats.case.journal_record import replayed
from annotator.model.case import Case
from annotator.store.files import read_beside, read_bounded

CASE_ENDING = ".case.jsonld"
"""With which the program names a case file."""

LARGEST_JOURNAL = 1024**3
"""Bytes; a session folds its journal into the case file long before."""

_ATTEMPTS = 10
"""How often to read when a writer has saved between our reading the one file and the other."""


class OnDisk(NamedTuple):
    """A case as it is on disk.

    size       of the case file, in bytes
    digest     of the case file: SHA-256, in hexadecimal
    saved      revision of the case file
    revision   of the case
    recovered  how many changes came from the journal
    journal    as much of the journal as is sound and goes with the case file
    stray      whether the journal does not go with the case file
    damaged    whether a part of it that was whole once can't be read any more
    """

    case: Case
    size: int
    digest: str
    saved: int
    revision: int
    recovered: int = 0
    journal: bytes = b""
    stray: bool = False
    damaged: bool = False

    @property
    def is_whole(self) -> bool:
        """Whether everything that the journal holds could be taken in."""
        return not (self.stray or self.damaged)


def journal_path(case_path: Path) -> Path:
    return case_path.with_name(f".{case_path.name}.journal")


def previous_path(case_path: Path) -> Path:
    """Where the version before the last save is kept."""
    return case_path.with_name(f"{case_path.name}.previous")


def refuse_nameless(path: Path) -> None:
    """Raises StoreError for the root of a disk, beside which nothing can stand."""
    if not path.name:
        raise StoreError(f"{path} is not a file; give the path of a file")


def read_case(path: Path) -> OnDisk:
    """The case with every change that was ever acknowledged. Changes nothing on disk.

    Raises StoreError where the file can't be opened, InvalidFile where it holds no sound case.
    """
    refuse_nameless(path)
    for _ in range(_ATTEMPTS):
        found = _read_once(path)
        if found.is_whole:
            break
    return found


def _read_once(path: Path) -> OnDisk:
    # In this order: what a writer moves meanwhile from the journal into the case file is then seen twice, not missed.
    lines = _read_journal(journal_path(path))
    kept = journal.loads(lines)
    data = read_bounded(path, casefile.LARGEST)
    digest = sha256(data).hexdigest()
    try:
        case, saved = casefile.loads(data)
        changes = _changes_since(kept.records, case.id, saved, digest)
        if changes:
            case, _ = casefile.case_of(replayed(casefile.parsed(data), changes))
    except NewerSchema as error:
        raise NewerSchema(f"{path}: {error.what}", error.faults, error.more) from error
    except InvalidFile as error:
        raise InvalidFile(f"{path} is damaged or not a case", [*_way_out(path), *error.faults], error.more) from error
    if changes is None:
        return OnDisk(case, len(data), digest, saved, saved, stray=True, damaged=kept.is_damaged)
    recovered, sound = len(changes), lines[: kept.length]
    return OnDisk(case, len(data), digest, saved, saved + recovered, recovered, sound, damaged=kept.is_damaged)


def _read_journal(path: Path) -> bytes:
    try:
        return read_beside(path, LARGEST_JOURNAL)
    except StoreError as error:
        if isinstance(error.__cause__, FileNotFoundError):
            return b""
        raise


def _changes_since(records: Sequence[Record], case_id: str, saved: int, digest: str) -> Sequence[Record] | None:
    """The changes that a case file does not hold yet; None where the journal does not go with it.

    A file that is known by its content holds what stands before that mark, up to the mark's revision: a save was cut
    short after the file was in place, and the case may have been changed while it was written. Otherwise the journal
    must go on where the file's revision ends. Of two changes with one revision the later counts: the earlier was
    written, but whoever made it was interrupted before it was acknowledged.
    """
    if any(record.case != case_id for record in records):
        return None
    marks = [index for index, record in enumerate(records) if record.saved == digest]
    mark, held = (marks[-1], records[marks[-1]].revision) if marks else (-1, saved)
    since = (record for index, record in enumerate(records) if index > mark or record.revision > held)
    changes = {record.revision: record for record in since if not record.saved}
    return list(changes.values()) if list(changes) == list(range(saved + 1, saved + 1 + len(changes))) else None


def _way_out(path: Path) -> list[str]:
    previous = previous_path(path)
    if not previous.exists():
        return []
    return [f"the version before the last save is kept as {previous.name}; give a copy of it the case’s name to go on"]
