"""The recordings that a case was tagged on, as files to read from."""

from pathlib import Path

from annotator.errors import MediaError
from annotator.model.case import Case
from annotator.store.recordings import locate


def tagged_recordings(case: Case, case_path: Path) -> list[Path]:
    """Where each recording of the case is, in order; MediaError where one is missing or has changed."""
    found: list[Path] = []
    for one in locate(case, case_path):
        kept = case.recordings[one.recording].path
        if one.path is None or one.state == "changed":
            problem = "was not found" if one.path is None else "has changed since it was tagged"
            raise MediaError(f"{kept} {problem}; put the recording that was tagged beside the case and try again")
        found.append(one.path)
    return found
