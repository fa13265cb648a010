"""The recordings that a case was tagged on, ready to take parts out of them."""

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from annotator.errors import MediaError
from annotator.media.cache.index_cache import cached_index
from annotator.media.survey import Survey, survey
from annotator.model.case import Case
from annotator.progress import Progress, Scaled, silent
from annotator.store.recordings import State, locate
from annotator.workflow.own_folders import cache_folder

READ: Final = 0.15
"""The share of the work of copying a whole recording that reading its frames takes, where they are not known yet."""

_WHY_NOT: Final[Mapping[State, str]] = {
    "missing": "was not found; put the recording that was tagged beside the case",
    "changed": "has changed since it was tagged; put the recording that was tagged beside the case",
    "unknown": (
        "may be another recording than the one that was tagged: the case does not say what was in its file. "
        "Open the case in the window, look whether the tags fit the picture, choose “Use this recording”"
    ),
}


def tagged_recordings(
    case: Case, case_path: Path, kept_in: Path | None = None, progress: Progress = silent
) -> list[Survey]:
    """Each recording of the case, in order, its frames from the folder `kept_in` or the usual one where they are known.

    Whoever takes many parts out of a recording asks once. Raises MediaError where one is missing or has changed, or
    where that can't be told, and StoreError.
    """
    found: list[tuple[Path, str]] = []
    for one in locate(case, case_path):
        kept = case.recordings[one.recording].path or f"recording {one.recording + 1} of the case"
        if one.path is None or one.state in _WHY_NOT:
            raise MediaError(f"{kept} {_WHY_NOT[one.state]} and try again")
        found.append((one.path, one.content))
    surveyed: list[Survey] = []
    for done, (path, content) in enumerate(found):
        part = Scaled(progress, done, done + 1, len(found))
        surveyed.append(survey(path, cached_index(path, content, kept_in or cache_folder(), part)))
    return surveyed
