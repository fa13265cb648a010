"""Take recordings that were found again, or a file that stands in for one, into their case.

Only what has the very content that was tagged is taken without being asked for: then there is no doubt.
"""

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from annotator.errors import InvalidEdit, StoreError
from annotator.media.probe import probe
from annotator.model import edits
from annotator.model.case import Case
from annotator.model.edits import Edit, Edited
from annotator.model.recording import MediaFacts
from annotator.model.timecode import SECOND, Ms, span
from annotator.progress import Progress, silent
from annotator.store.recordings import Located, locate, path_to_keep
from annotator.store.session import Session
from annotator.workflow.known_frames import known

SAME_LENGTH: Ms = SECOND
"""How far a converted copy may differ in length: converting drops or doubles a picture, or cuts at a packet of
sound (common practice, no source). Whoever cut the recording has taken more away."""


class Chosen(NamedTuple):
    """A file that somebody says is one of a case's recordings."""

    path: Path
    facts: MediaFacts
    fingerprint: str


def read_chosen(path: Path, kept_in: Path | None = None, progress: Progress = silent) -> Chosen:
    """What is needed of a file to judge it; its frames are kept in the folder `kept_in`, or the usual one.

    Raises MediaError for one that is no recording, StoreError.
    """
    content, frames = known(path, kept_in, progress)
    return Chosen(path, probe(path, frames), content)


def found_again(located: Sequence[Located], case_path: Path) -> Edit:
    """Keep the new places of those recordings that were found by their content; one change for all of them."""

    def edit(case: Case) -> Edited:
        says = []
        for one in located:
            if one.state == "moved" and one.path is not None:
                path, content = path_to_keep(one.path, case_path), case.recordings[one.recording].fingerprint
                case, said = edits.relocate(case, one.recording, path, content)
                says.append(said)
        return Edited(case, ", ".join(says) or "nothing")

    return edit


def keep_new_places(session: Session, located: Sequence[Located]) -> None:
    """Write the new places of moved recordings into an open case, so that they need not be looked for again.

    Nothing where none was moved, or the case is open only for reading. Raises StoreError where it can't be written.
    """
    if not session.read_only and any(one.state == "moved" for one in located):
        session.do(found_again(located, session.path))
        session.save()


def keep_new_places_of(case_path: Path) -> tuple[str, ...]:
    """The same for a case that is not open; a sentence for each recording that was found in another place.

    A case that can't be changed now, such as one that is open elsewhere, stays as it is. Raises what reading it raises.
    """
    with Session.open(case_path, writable=False) as session:
        case, located = session.case, locate(session.case, session.path)
    moved = [one for one in located if one.state == "moved"]
    if moved:
        with suppress(StoreError), Session.open(case_path) as session:
            # Another may have changed the case meanwhile.
            same = located if session.case.recordings == case.recordings else locate(session.case, session.path)
            keep_new_places(session, same)
    return tuple(was_found(case, one) for one in moved)


def was_found(case: Case, one: Located) -> str:
    """That a recording of the case is in another place than it was."""
    return f"recording {one.recording + 1} ({case.recordings[one.recording].path}) was found at {one.path}"


def lacking(located: Sequence[Located]) -> list[int]:
    """The numbers of the recordings, from 0, that are missing, or in whose place there is another file."""
    return [one.recording for one in located if one.state in ("missing", "changed")]


def doubtful(located: Sequence[Located]) -> list[int]:
    """The numbers of the recordings, from 0, for which there is a file that may not be what was tagged."""
    return [one.recording for one in located if one.state in ("changed", "unknown")]


def meant(chosen: Chosen, case: Case, located: Sequence[Located], otherwise: int) -> int:
    """The number of the recording that somebody means who names a file: of those that are lacking the one whose
    content it has, else the one that is asked about.
    """
    same = (number for number in lacking(located) if case.recordings[number].fingerprint == chosen.fingerprint)
    return next(same, otherwise)


def stand_in(chosen: Chosen, recording: int, case_path: Path) -> Edit:
    """Let a file be recording number `recording` (from 0) of the case, whatever its content, as long as it is as long.

    A copy that was converted has another content but the same times, so tags fit. One of another length
    is another recording, or was cut: the edit refuses it with InvalidEdit, and one that the case has already.
    """

    def edit(case: Case) -> Edited:
        tagged, facts = case.recordings[recording], chosen.facts
        others = [one.fingerprint for number, one in enumerate(case.recordings) if number != recording]
        if chosen.fingerprint in others:
            raise InvalidEdit(f"{chosen.path.name} is already another recording of this case")
        if chosen.fingerprint != tagged.fingerprint and abs(facts.duration - tagged.duration) > SAME_LENGTH:
            raise InvalidEdit(
                f"{chosen.path.name} lasts {span(facts.duration)}, but what was tagged {span(tagged.duration)}: the "
                "tags would not fit. Choose a file of the same length, or open this one as a recording of its own"
            )
        path = path_to_keep(chosen.path, case_path)
        shape = {"frame_rate": facts.frame_rate, "width": facts.width, "height": facts.height}
        return edits.relocate(case, recording, path, chosen.fingerprint, **shape)

    return edit
