"""Put in order what a kill or a stranger left beside a case. Only for whoever holds the case's lock."""

import os
from itertools import count
from pathlib import Path

from annotator.durable import why
from annotator.errors import StoreError
from annotator.parts import clear_left_overs
from annotator.plain_file import open_plain
from annotator.store.atomic import write_beside
from annotator.store.files import read_beside
from annotator.store.reading import LARGEST_JOURNAL, OnDisk, journal_path

_STRAY = "Beside the case are changes that do not go with this version of it; they are left out, and kept in {}"

_DAMAGED = (
    "Of the changes from before an interruption the last can't be read any more: the disk or another program has "
    "damaged their file. Those before are taken in; all of that file is kept in {}"
)


def sweep(case_path: Path) -> None:
    """Take away what is left of files that were being written when the process was killed."""
    clear_left_overs(case_path.parent)


def set_aside(case_path: Path, sound: int = 0) -> Path | None:
    """Keep the whole journal under a name of its own, and only its first `sound` bytes as the journal.

    Returns the new file, or None where there is no journal. Raises StoreError.
    """
    journal = journal_path(case_path)
    if not os.path.lexists(journal):
        return None
    kept = keep_aside(case_path)
    try:
        descriptor = open_plain(journal, os.O_RDWR)
        try:
            os.ftruncate(descriptor, sound)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise StoreError(f"{journal} can't be written: {why(error)}") from error
    return kept


def keep_aside(case_path: Path) -> Path:
    """Keep a copy of the journal under a name of its own; returns that. Raises StoreError."""
    names = (case_path.with_name(f"{case_path.name}.stray-changes-{number}") for number in count(1))
    kept = next(name for name in names if not os.path.lexists(name))
    write_beside(kept, read_beside(journal_path(case_path), LARGEST_JOURNAL))
    return kept


def said_of(found: OnDisk, kept: Path | None) -> tuple[str, ...]:
    """What to say of a journal that could not be taken in whole."""
    if found.is_whole or kept is None:
        return ()
    return ((_STRAY if found.stray else _DAMAGED).format(kept),)
