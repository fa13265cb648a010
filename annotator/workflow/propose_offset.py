"""Find out where a trimmed copy of a case's recordings begins in them."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from annotator.errors import MediaError, StoreError
from annotator.media.cache.index_cache import cached_index
from annotator.media.pictures import brightness, sound
from annotator.media.pictures.trimmed import trimmed_by
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.progress import Progress, Scaled, silent
from annotator.store.recordings import Located, locate
from annotator.workflow.own_folders import cache_folder

_Values = NDArray[np.float64]
_Read = Callable[[Located, Progress], _Values]


def propose_offset(one: tuple[Case, Path], other: tuple[Case, Path], progress: Progress = silent) -> Ms | None:
    """At how many ms of the one's recordings those of the other begin, by their sound, else by how bright they are.

    Each is a case and where it is kept. None where neither tells, or where a recording is missing or can't be read.
    """
    ways: list[tuple[_Read, Ms]] = [(_loudness, sound.EVERY), (_brightness, brightness.EVERY)]
    for done, (read, every) in enumerate(ways):
        part = Scaled(progress, done, done + 1, len(ways))
        try:
            first = _along(*one, read, every, Scaled(part, 0, 1, 2))
            second = _along(*other, read, every, Scaled(part, 1, 2, 2))
        except (MediaError, StoreError):
            return None
        found = trimmed_by(first, second, every)
        if found is not None:
            return found
    return None


def _along(case: Case, path: Path, read: _Read, every: Ms, progress: Progress) -> _Values:
    """What is read of the recordings, on the case's clock. Raises MediaError where one of them is not there."""
    values = np.zeros(case.duration // every + 1)
    for done, there in enumerate(locate(case, path)):
        found = read(there, Scaled(progress, done, done + 1, len(case.recordings)))
        start, end = (border // every for border in case.borders[there.recording : there.recording + 2])
        room = values[start:end]
        room[: len(found)] = found[: len(room)]
    return values


def _loudness(there: Located, progress: Progress) -> _Values:
    return sound.read_peaks(_file(there), progress).levels.astype(np.float64)


def _brightness(there: Located, progress: Progress) -> _Values:
    path = _file(there)
    index = cached_index(path, there.content, cache_folder())
    return brightness.read_brightness(path, index, progress)


def _file(there: Located) -> Path:
    if there.path is None or not there.content:
        raise MediaError("There is no file to read")
    return there.path
