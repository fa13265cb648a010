"""The list of what was published, so that the copies of a case can be found when its consent is withdrawn.

It is kept in the user's data folder and holds places on this computer only: it never travels with a case. A copy that
somebody moves or passes on is not followed.
"""

import os
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

import msgspec
import platformdirs

from annotator.durable import flush_file, why
from annotator.model.case import Case
from annotator.plain_file import open_plain
from annotator.store.atomic import write_all
from annotator.store.files import read_beside

LARGEST: Final = 64 * 1024**2
"""Bytes; a hundred thousand copies fit in less."""


class Copy(msgspec.Struct, frozen=True):
    """One thing that was published.

    case       id of the case it was made from
    case_file  where that case was
    place      file or folder that was written, in full
    at         UTC, as `2026-11-24T20:15:00Z`
    """

    case: str
    case_file: str
    place: str
    at: str

    @property
    def is_there(self) -> bool:
        """Whether something still stands at its place."""
        return os.path.lexists(self.place)


def list_path() -> Path:
    """Where the list is kept."""
    return platformdirs.user_data_path("surgical-step-annotator", appauthor=False) / "published.jsonl"


def remember(case: Case, case_path: Path, places: Iterable[Path]) -> tuple[str, ...]:
    """Put what was just written on the list; returns a sentence where that can't be done.

    What was published stays, whatever happens here.
    """
    at = f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}"
    copies = [Copy(case.id, _whole(case_path), _whole(place), at) for place in places]
    if not copies:
        return ()
    # Each line begins with a line's end: what a full disk cut off before it is then a damaged line of its own.
    lines = b"".join(b"\n" + msgspec.json.encode(copy) for copy in copies)
    path = list_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        descriptor = open_plain(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        try:
            write_all(descriptor, lines)
            flush_file(descriptor)
        finally:
            os.close(descriptor)
    except OSError as error:
        return (f"this copy is not on the list of what was published, {path}: {why(error)}. Write down where it is",)
    return ()


def copies() -> tuple[Sequence[Copy], int]:
    """Everything on the list, each place once, as it was written last, and how many lines of it can't be read.

    Raises StoreError where the list is there and can't be read.
    """
    if not os.path.lexists(list_path()):
        return (), 0
    found: dict[tuple[str, str], Copy] = {}
    damaged = 0
    for one in _lines(read_beside(list_path(), LARGEST)):
        if one is None:
            damaged += 1
        else:
            found.pop((one.case, one.place), None)
            found[one.case, one.place] = one
    return tuple(found.values()), damaged


def _lines(data: bytes) -> Iterator[Copy | None]:
    for line in data.split(b"\n"):
        if line.strip():
            try:
                yield msgspec.json.decode(line, type=Copy)
            except (msgspec.DecodeError, UnicodeDecodeError):
                yield None


def _whole(path: Path) -> str:
    """In full, and as text: what of a name is none is written as it is shown."""
    return os.path.realpath(path).encode("utf-8", "replace").decode()
