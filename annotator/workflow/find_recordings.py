"""Find a case's recordings on this machine and read their frames."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.errors import MediaError
from annotator.media.frame_index import FrameIndex
from annotator.media.index_cache import cached_index
from annotator.model.case import Case
from annotator.progress import Progress, part_of, silent
from annotator.store.recordings import Located, locate
from annotator.workflow.frames import CaseFrames
from annotator.workflow.places import cache_folder


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
    located = tuple(locate(case, case_path, folders, lambda _done, _total: progress(0, 1)))
    readable = [(one.recording, one.path) for one in located if one.path is not None and one.state != "changed"]
    indexes: dict[int, FrameIndex] = {}
    cache = kept_in or cache_folder()
    unreadable: list[str] = []
    for done, (recording, path) in enumerate(readable):
        part = part_of(progress, done, len(readable))
        try:
            indexes[recording] = cached_index(path, case.recordings[recording].fingerprint, cache, part)
        except MediaError as error:
            unreadable.append(str(error))
    warnings = (_says(case, one) for one in located if one.state != "as left")
    return Found(located, CaseFrames(case, indexes), (*warnings, *unreadable), tuple(unreadable))


def _says(case: Case, one: Located) -> str:
    name = f"recording {one.recording + 1} ({case.recordings[one.recording].path})"
    match one.state:
        case "moved":
            return f"{name} was found at {one.path}"
        case "changed":
            return f"{name} has changed since it was tagged; the tags are kept as they are"
        case _:
            return f"{name} was not found; times are taken as they are written. Put the file beside the case"
