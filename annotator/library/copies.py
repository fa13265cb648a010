"""Where the cases of a library were published, and which of them should not be out any more."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import StoreError
from annotator.library.library import CaseEntry, Library
from annotator.measure.before_export import CONSENT
from annotator.store import published
from annotator.store.published import Copy


class CopyOf(NamedTuple):
    """A copy, the case it was made from, and what that says of consent: the code of a value, or empty."""

    case: CaseEntry
    copy: Copy
    consent: str


class Copies(NamedTuple):
    """The copies in the order of the cases, and of time; and a sentence on each thing that is to be known of them."""

    listed: Sequence[CopyOf]
    notes: tuple[str, ...]


def copies_in(library: Library, only: Path | None = None) -> Copies:
    """The copies of all cases, or of the one whose file is `only`. Raises StoreError for a file that is not one."""
    wanted = None if only is None else _entry(library, only)
    by_case = {iri: library.cases[number] for number, iri in _ids(library) if number in library.cases}
    consent = dict(library.index.execute("SELECT of_case, value FROM facts WHERE name = ?", (CONSENT,)).fetchall())
    kept, damaged = published.copies()
    found = [
        CopyOf(case, copy, consent.get(case.number, ""))
        for copy in kept
        if (case := by_case.get(copy.case)) is not None and (wanted is None or case.number == wanted.number)
    ]
    found.sort(key=lambda one: (one.case.name, one.copy.at, one.copy.place))
    lines = "1 line" if damaged == 1 else f"{damaged:,} lines"
    notes = (f"{lines} of {published.list_path()} can't be read; a copy may be missing here",) if damaged else ()
    return Copies(found, notes)


def _ids(library: Library) -> list[tuple[int, str]]:
    return library.index.execute("SELECT id, iri FROM cases WHERE iri IS NOT NULL").fetchall()


def _entry(library: Library, path: Path) -> CaseEntry:
    for case in library.cases.values():
        try:
            if (library.folder / case.name).samefile(path):
                return case
        except OSError:
            continue
    raise StoreError(f"{path} is not a case of {library.folder} that can be read; name one of its files")
