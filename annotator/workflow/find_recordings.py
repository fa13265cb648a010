"""Find a case's recordings on this machine and read their frames."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from annotator.media.frame_index import FrameIndex
from annotator.media.index_cache import cached_index
from annotator.model.case import Case
from annotator.progress import Progress, silent
from annotator.store.recordings import Located, locate
from annotator.workflow.frames import CaseFrames
from annotator.workflow.places import cache_folder


class Found(NamedTuple):
    """Where the recordings are, their frames, and a sentence for each that is not as it was left."""

    located: tuple[Located, ...]
    frames: CaseFrames
    warnings: tuple[str, ...]


def find_recordings(case: Case, case_path: Path, folders: Sequence[Path] = (), progress: Progress = silent) -> Found:
    """Locate each recording and read its frame index, from the cache where it is known.

    A missing or changed recording is said, never an error: the case works without pictures.
    """
    located = tuple(locate(case, case_path, folders))
    indexes: dict[int, FrameIndex] = {}
    readable = [one for one in located if one.path is not None and one.state != "changed"]
    for done, one in enumerate(readable):

        def report(part: float, total: float, done: int = done) -> None:
            progress(done + part / max(total, 1), len(readable))

        assert one.path is not None
        fingerprint = case.recordings[one.recording].fingerprint
        indexes[one.recording] = cached_index(one.path, fingerprint, cache_folder(), report)
    return Found(
        located, CaseFrames(case, indexes), tuple(_says(case, one) for one in located if one.state != "as left")
    )


def _says(case: Case, one: Located) -> str:
    name = f"recording {one.recording + 1} ({case.recordings[one.recording].path})"
    match one.state:
        case "moved":
            return f"{name} was found at {one.path}"
        case "changed":
            return f"{name} has changed since it was tagged; the tags are kept as they are"
        case _:
            return f"{name} was not found; times are taken as they are written, put its folder beside the case to mend this"
