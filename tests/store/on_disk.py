"""Cases to keep, edits to make, and a look at what a kill would have left on disk."""

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.store.session import Session
from tests.strategies import BASE, VOCABULARY

NAME = "model-eye.case.jsonld"


def new_case(number: int = 1) -> Case:
    recording = Recording(f"urn:recording:{number}", "model-eye.mp4", "", 3_600_000)
    return Case(f"urn:case:{number}", "Model eye (invented)", VOCABULARY, (recording,))


def new_tag(number: int) -> Tag:
    return Tag(f"urn:tag:{number:04}", f"{BASE}#bimanual", number * 1_000, number * 1_000 + 500)


def adding(number: int) -> edits.Edit:
    return lambda case: edits.add(case, [new_tag(number)])


def noting(number: int, note: str) -> edits.Edit:
    return lambda case: edits.describe(case, [new_tag(number).id], note=note)


def numbers(case: Case) -> list[int]:
    return [int(tag.id.rpartition(":")[2]) for tag in case.tags]


def at_noon() -> datetime:
    return datetime(2026, 11, 24, 12, 0, tzinfo=UTC)


def read(path: Path) -> Case:
    with Session.open(path, writable=False) as session:
        return session.case


@contextmanager
def as_a_kill_would_leave_it(path: Path) -> Iterator[Path]:
    """The case in a folder of its own, with everything beside it as it is on disk now, and held by nobody."""
    unreadable = shutil.ignore_patterns("*.lock") if sys.platform == "win32" else None  # where nobody reads a lock
    with TemporaryDirectory() as folder:
        shutil.copytree(path.parent, folder, ignore=unreadable, dirs_exist_ok=True)
        yield Path(folder) / path.name


def after_a_kill(path: Path) -> Case:
    """The case as the next process would find it."""
    with as_a_kill_would_leave_it(path) as left, Session.open(left) as session:
        return session.case


def files_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())
