"""The recordings that a case was tagged on, ready to take parts out of them."""

from pathlib import Path
from typing import Final

from annotator.errors import MediaError
from annotator.media.survey import Survey, survey
from annotator.model.case import Case
from annotator.progress import Progress, part_of, silent
from annotator.store.recordings import locate
from annotator.workflow.known_frames import known

READ: Final = 0.15
"""The share of the work of copying a whole recording that reading its frames takes, where they are not known yet."""


def tagged_recordings(
    case: Case, case_path: Path, kept_in: Path | None = None, progress: Progress = silent
) -> list[Survey]:
    """Each recording of the case, in order, its frames from the folder `kept_in` or the usual one where they are known.

    Whoever takes many parts out of a recording asks once. Raises MediaError where one is missing or has changed, and
    StoreError.
    """
    found: list[Path] = []
    for one in locate(case, case_path):
        kept = case.recordings[one.recording].path
        if one.path is None or one.state == "changed":
            problem = "was not found" if one.path is None else "has changed since it was tagged"
            raise MediaError(f"{kept} {problem}; put the recording that was tagged beside the case and try again")
        found.append(one.path)
    surveyed: list[Survey] = []
    for done, path in enumerate(found):
        part = part_of(progress, done, len(found))
        surveyed.append(survey(path, known(path, kept_in, part).frames))
    return surveyed
