"""See that cases may be compared: that they are about one recording, and where one of them begins in the other."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import numpy as np

from annotator.errors import InvalidEdit, MediaError, StoreError
from annotator.media.pictures.sound import EVERY, Peaks, read_peaks
from annotator.media.pictures.trimmed import trimmed_by
from annotator.model.blind import unfinished
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.progress import Progress, Scaled, silent
from annotator.store.recordings import locate


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
    where the sound of both tells it.
    """
    first = cases[0]
    for number, other in enumerate(cases[1:]):
        if are_of_one_recording(first.case, other.case):
            continue
        offset = propose_offset(first, other, Scaled(progress, number, number + 1, len(cases) - 1))
        says = f"{other.path} is not about the same recording as {first.path}"
        if len(cases) > 2:
            raise InvalidEdit(f"{says}; compare the two by themselves, with --offset, if one is a trimmed copy")
        if offset is None:
            raise InvalidEdit(
                f"{says}; if it is a trimmed or converted copy, say with --offset at how many ms of the first it begins"
            )
        raise InvalidEdit(f"{says}, but sounds like a copy of it; try --offset {offset}")


def refuse_unfinished(cases: Sequence[Named]) -> None:
    """Raises InvalidEdit while somebody tags blind to another of the cases, and either is not done."""
    for place in unfinished(one.case for one in cases):
        path = cases[place].path
        raise InvalidEdit(
            f"{path} is part of a blind comparison, and nobody has said that all is tagged in it; "
            f"once it is, say so: annotator blind {path} --done"
        )


def propose_offset(one: Named, other: Named, progress: Progress = silent) -> Ms | None:
    """At how many ms of the one's recordings those of the other begin; None where their sound does not tell."""
    sounds = [_sound(named, Scaled(progress, number, number + 1, 2)) for number, named in enumerate((one, other))]
    return None if sounds[0] is None or sounds[1] is None else trimmed_by(sounds[0], sounds[1])


def _sound(named: Named, progress: Progress) -> Peaks | None:
    """The sound of all recordings on the case's clock; None where one can't be heard."""
    located = locate(named.case, named.path)
    levels = np.zeros(named.case.duration // EVERY + 1, dtype=np.uint8)
    for done, there in enumerate(located):
        if there.path is None or there.state == "changed":
            return None
        try:
            heard = read_peaks(there.path, Scaled(progress, done, done + 1, len(located))).levels
        except (MediaError, StoreError):
            return None
        start = named.case.borders[there.recording] // EVERY
        room = levels[start : named.case.borders[there.recording + 1] // EVERY + 1]
        room[: len(heard)] = heard[: len(room)]
    return Peaks(levels)
