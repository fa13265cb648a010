"""What the publish panel runs in the background.

What writes is imported when something is written, as it takes a good part of the time in which a window opens.
"""

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from annotator.desktop.tasks.task import Job
from annotator.model.case import Case, Tag
from annotator.model.timecode import SECOND
from annotator.progress import Progress
from annotator.publish.options import Options

if TYPE_CHECKING:
    from annotator.publish.job import Published


def publication(
    case: Case, case_path: Path, options: Options, tags: Sequence[Tag], folder: Path, name: str, kept_in: Path
) -> Job:
    """All that was asked for, of the case as it is now; ends in a `Published`.

    Here and below, frames of recordings are kept in the folder `kept_in`.
    """
    return partial(_published, case, case_path, options, tags, folder, name, kept_in)


def _published(
    case: Case,
    case_path: Path,
    options: Options,
    tags: Sequence[Tag],
    folder: Path,
    name: str,
    kept_in: Path,
    progress: Progress,
) -> "Published":
    from annotator.publish.job import Order, publish

    return publish(Order(case, case_path, options, tags, folder, name, kept_in), progress)


def outcome_of(ended: object) -> "Published":
    """What came of a publication: what it gave back, the error that ended it, or None where it was stopped."""
    from annotator.publish.job import Published

    if isinstance(ended, Published):
        return ended
    return Published((), (), () if ended is None else (str(ended),), stopped=ended is None)


def early_starts(case: Case, case_path: Path, tags: Sequence[Tag], kept_in: Path) -> Job:
    """A sentence on where copied clips of the tags would begin."""
    return partial(_early, case, case_path, tags, kept_in)


def _early(case: Case, case_path: Path, tags: Sequence[Tag], kept_in: Path, progress: Progress) -> str:
    from annotator.publish.video.clips import starts_of_copies

    return _in_words([early / SECOND for early in starts_of_copies(case, case_path, tags, progress, kept_in)])


def _in_words(early: Sequence[float]) -> str:
    """In seconds to the tenth; a start that is under 50 ms early is none to speak of."""
    if not early:
        return ""
    least, most = min(early), max(early)
    what = "It begins" if len(early) == 1 else "Each begins"
    if most < 0.05:
        return f"{what} at its tag, as there is a key frame."
    if most - least < 0.05:
        return f"{what} {most:.1f} s before its tag, at a key frame."
    return f"{what} {least:.1f} to {most:.1f} s before its tag, at a key frame."
