"""Open a case for a verb, and say what was found out about it on the way."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from annotator.cli.verb import say, warn

if TYPE_CHECKING:
    from annotator.store.session import Session


@contextmanager
def opened(case: Path, writable: bool = False) -> Iterator["Session"]:
    """The case for reading, or for changing; closed again, and so saved, at the end."""
    from annotator.store.session import Session

    with Session.open(case, writable) as session:
        for warning in session.warnings:
            warn(warning)
        if writable and session.recovered:
            changes = "a change" if session.recovered == 1 else f"{session.recovered} changes"
            say(f"taken in: {changes} from before an interruption")
        yield session
