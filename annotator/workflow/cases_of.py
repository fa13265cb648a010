"""Which case belongs to a recording: the one that knows its content, whatever either of them is called."""

import os
from collections.abc import Collection
from itertools import count, islice
from pathlib import Path
from typing import NamedTuple

from annotator.errors import AnnotatorError
from annotator.model.case import Case
from annotator.store.files import read_bounded
from annotator.store.reading import CASE_ENDING, journal_path, read_case

MOST_CASES = 200
"""Case files looked into in one folder, beside those whose names say that they belong to a recording."""

LARGEST = 64 * 1024**2
"""Bytes of a file that is looked into; a case with a hundred thousand tags is smaller."""


class CaseOf(NamedTuple):
    """A case file and the case in it."""

    path: Path
    case: Case


def beside(recording: Path) -> Path:
    """Where a recording's first case is kept."""
    return recording.with_name(f"{recording.stem}{CASE_ENDING}")


def free_beside(recording: Path, *, is_same: bool) -> Path:
    """A name that no file has for one more case beside a recording.

    Where the usual name is that of another recording's case, the recording's whole name tells the two apart; for
    a second case of the same one (`is_same`) a number does.
    """
    numbered = (f"{recording.stem} {number}" for number in count(2))
    names = [recording.stem, *([] if is_same else [recording.name])]
    candidates = (recording.with_name(f"{name}{CASE_ENDING}") for name in (*names, *islice(numbered, 10_000)))
    return next(path for path in candidates if not os.path.lexists(path))


def cases_of(fingerprints: Collection[str], folder: Path, usual: Collection[Path] = ()) -> list[CaseOf]:
    """The cases in a folder that hold any recording of these contents; the `usual` ones stand first, then by name.

    However many cases lie there, the usual ones are looked into. A file that can't be read, or is no sound case, is
    passed over.
    """
    wanted = [one.encode() for one in fingerprints]
    there = _case_files(folder)
    near = {path: None for path in usual if path in there}
    others = (path for path in there if path not in near)
    found = [CaseOf(path, case) for path in (*near, *islice(others, MOST_CASES)) if (case := _case_in(path, wanted))]
    return [one for one in found if any(recording.fingerprint in fingerprints for recording in one.case.recordings)]


def _case_files(folder: Path) -> dict[Path, None]:
    """By name; as keys, so that it is quick to know whether one is there."""
    try:
        with os.scandir(folder) as entries:
            names = sorted(entry.name for entry in entries if _is_of_case(entry.name) and entry.is_file())
    except OSError:
        return {}
    return dict.fromkeys(folder / name for name in names)


def _is_of_case(name: str) -> bool:
    return name.lower().endswith(CASE_ENDING) and not name.startswith(".")


def _case_in(path: Path, wanted: Collection[bytes]) -> Case | None:
    """The case, read only where one of the wanted texts stands in its file or its journal at all."""
    try:
        texts = [read_bounded(one, LARGEST) for one in (path, journal_path(path)) if one.is_file()]
        if any(one in text for one in wanted for text in texts):
            return read_case(path).case
    except (AnnotatorError, OSError):
        pass
    return None
