"""Take recordings that were found again, or a file that stands in for one, into their case."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import InvalidEdit
from annotator.media.probe import probe
from annotator.model import edits
from annotator.model.case import Case
from annotator.model.edits import Edit, Edited
from annotator.model.recording import MediaFacts
from annotator.model.timecode import SECOND, Ms, span
from annotator.progress import Progress, silent
from annotator.store.recordings import Located, path_to_keep
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


def stand_in(chosen: Chosen, recording: int, case_path: Path) -> Edit:
    """Let a file be recording number `recording` (from 0) of the case, whatever its content, as long as it is as long.

    A copy that was converted has another content but the same times, so tags fit. One of another length
    is another recording, or was cut: the edit refuses it with InvalidEdit, and one that the case has already.
    """

    def edit(case: Case) -> Edited:
        tagged, facts = case.recordings[recording], chosen.facts
        others = [one.fingerprint for number, one in enumerate(case.recordings) if number != recording]
        if chosen.fingerprint in others:
            raise InvalidEdit(f"{chosen.path.name} is in this case already, as another of its recordings")
        if chosen.fingerprint != tagged.fingerprint and abs(facts.duration - tagged.duration) > SAME_LENGTH:
            raise InvalidEdit(
                f"{chosen.path.name} lasts {span(facts.duration)}, but what was tagged {span(tagged.duration)}: the "
                "tags would not fit. Choose a file of the same length, or open this one as a recording of its own"
            )
        path = path_to_keep(chosen.path, case_path)
        shape = {"frame_rate": facts.frame_rate, "width": facts.width, "height": facts.height}
        return edits.relocate(case, recording, path, chosen.fingerprint, **shape)

    return edit
