"""See that cases may be compared: that they are about one recording, and where one of them begins in the other."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import InvalidEdit
from annotator.model.blind import unfinished
from annotator.model.case import Case
from annotator.progress import Progress, silent
from annotator.workflow.propose_offset import propose_offset


class Named(NamedTuple):
    """A case and where it is kept."""

    path: Path
    case: Case


def are_of_one_recording(one: Case, other: Case) -> bool:
    """Whether both are about files of the same content, in the same order."""
    contents = [[recording.fingerprint for recording in case.recordings] for case in (one, other)]
    return contents[0] == contents[1] and all(contents[0])


def refuse_other_recordings(cases: Sequence[Named], progress: Progress = silent) -> None:
    """Raises InvalidEdit for the first case that is not about the recordings of the first one, with the offset to try
    where their sound or pictures tell it.
    """
    first = cases[0]
    for other in cases[1:]:
        if are_of_one_recording(first.case, other.case):
            continue
        says = f"{other.path} is not about the same recording as {first.path}"
        if len(cases) > 2:
            raise InvalidEdit(f"{says}; compare the two by themselves, with --offset, if one is a trimmed copy")
        offset = propose_offset((first.case, first.path), (other.case, other.path), progress)
        if offset is None:
            raise InvalidEdit(
                f"{says}; if it is a trimmed or converted copy, say with --offset at how many ms of the first it begins"
            )
        raise InvalidEdit(f"{says}, but looks like a trimmed copy; try --offset {offset}")


def refuse_unfinished(cases: Sequence[Named]) -> None:
    """Raises InvalidEdit while somebody tags blind to another of the cases, and either is not done."""
    for place in unfinished(one.case for one in cases):
        path = cases[place].path
        raise InvalidEdit(
            f"{path} is part of a blind comparison, and nobody has said that all is tagged in it; "
            f"once it is, say so: annotator blind {path} --done"
        )
