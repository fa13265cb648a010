"""Open a case for a verb, and say what was found out about it on the way."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from annotator.cli.verb import say, warn

if TYPE_CHECKING:
    from annotator.store.session import Session


@contextmanager
def opened_for_recordings(case: Path) -> Iterator["Session"]:
    """The case for reading by a verb that reads its recordings too: those that were moved first get their new places
    in it, where it can be changed, and that is said.
    """
    from annotator.workflow.take_recordings import keep_new_places_of

    say(*keep_new_places_of(case))
    with opened(case) as session:
        yield session


@contextmanager
def opened(case: Path, writable: bool = False) -> Iterator["Session"]:
    """The case for reading, or for changing; closed again, and so saved, at the end.

    A change that was made is safe beside the case, also where the case file itself can't be written yet. That is said,
    and is no failure: a verb that reports one leaves the case as it was.
    """
    from annotator.store.session import Session

    session = Session.open(case, writable)
    with _closed_at_the_end(session):
        warn(*session.warnings)
        if writable and session.recovered:
            changes = "a change" if session.recovered == 1 else f"{session.recovered} changes"
            say(f"recovered: {changes} from before an interruption")
        if session.case.blind_to and not session.case.is_done:
            warn(f"{case} is tagged blind and not said to be done: show its tags to nobody else who tags yet")
        yield session


@contextmanager
def _closed_at_the_end(session: "Session") -> Iterator[None]:
    from annotator.errors import NotSaved

    try:
        yield
    finally:
        try:
            session.close()
        except NotSaved as error:
            warn(f"the change is safe beside the case, and is part of it whenever it is opened. {error}")
