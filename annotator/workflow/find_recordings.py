"""Find a case's recordings on this machine and read their frames."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import MediaError
from annotator.media.cache.index_cache import cached_index
from annotator.media.index.frame_index import FrameIndex
from annotator.media.probe import probe
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.progress import Progress, Scaled, silent
from annotator.store.recordings import Located, locate
from annotator.workflow.frames import CaseFrames
from annotator.workflow.own_folders import cache_folder
from annotator.workflow.take_recordings import SAME_LENGTH, was_found


class Found(NamedTuple):
    """Where the recordings are, and their frames.

    warnings    a sentence for each recording that is not as it was left, or can't be read
    unreadable  those of them that say why a recording can't be read
    """

    located: tuple[Located, ...]
    frames: CaseFrames
    warnings: tuple[str, ...]
    unreadable: tuple[str, ...]


def find_recordings(
    case: Case,
    case_path: Path,
    folders: Sequence[Path] = (),
    progress: Progress = silent,
    kept_in: Path | None = None,
) -> Found:
    """Locate each recording and read its frame index, from the cache where it is known: from
    the folder `kept_in`, or the usual one.

    A recording that is missing, changed or can't be read is said, never an error: the case works without pictures.
    """
    located = locate(case, case_path, folders, lambda _done, _total: progress(0, 1))
    readable = [one for one in located if one.content]
    indexes: dict[int, FrameIndex] = {}
    cache = kept_in or cache_folder()
    unreadable: list[str] = []
    for done, one in enumerate(readable):
        recording, part = case.recordings[one.recording], Scaled(progress, done, done + 1, len(readable))
        try:
            index = _index(one, cache, part)
            if one.state == "unknown" and not _may_be(recording, one, index):
                located[one.recording] = one._replace(state="changed", content="")
            else:
                indexes[one.recording] = index
        except MediaError as error:
            unreadable.append(str(error))
    warnings = (_says(case, one) for one in located if one.state != "as left")
    return Found(tuple(located), CaseFrames(case, indexes), (*warnings, *unreadable), tuple(unreadable))


def _index(one: Located, cache: Path, progress: Progress) -> FrameIndex:
    """By the content that the file has now: what a stranger's case says of it may be another's."""
    if one.path is None:
        raise MediaError("There is no file to read")
    return cached_index(one.path, one.content, cache, progress)


def _may_be(recording: Recording, one: Located, index: FrameIndex) -> bool:
    """Whether a file may be the recording, going by the rest of what the case says of it. Raises MediaError."""
    if one.path is None or abs(index.end - recording.duration) > SAME_LENGTH:
        return False
    facts = probe(one.path, index)
    same_size = not recording.width or (recording.width, recording.height) == (facts.width, facts.height)
    return same_size and (recording.frame_rate is None or recording.frame_rate == facts.frame_rate)


def _says(case: Case, one: Located) -> str:
    name = f"recording {one.recording + 1} ({case.recordings[one.recording].path})"
    match one.state:
        case "moved":
            return was_found(case, one)
        case "changed":
            return f"{name} has changed since it was tagged; its tags stay as they are"
        case "unknown":
            says = "may not be the one that was tagged: the case does not say what its file contained"
            return f"{name} {says}; compare a few tags with the picture"
        case _:
            return f"{name} was not found, so times stay as written. Put the file beside the case"
