"""Copies of one case, ready to be merged into a case in a third place."""

from pathlib import Path

from annotator.model.merge import Copy
from annotator.store.recordings import carried
from annotator.store.session import Session


def copy_for(session: Session, out: Path) -> Copy:
    """What an open case holds, with the paths of its recordings as they are written at `out`."""
    return Copy(carried(session.case, session.path, out), session.revision)
