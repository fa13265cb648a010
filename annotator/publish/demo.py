"""The whole job on the bundled sample: an invented operation on a model eye."""

import os
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import NamedTuple

from annotator.errors import AnnotatorError
from annotator.progress import Progress, silent
from annotator.publish.chapter_file import chapter_file
from annotator.publish.kinds import CHAPTERS, SUMMARIES
from annotator.publish.report.summary import summary_text
from annotator.publish.video.kind_of_recording import RECORDING
from annotator.publish.video.recording_with_chapters import embed
from annotator.store.ways_out import WayOut, check
from annotator.workflow.sample import create_sample, is_untouched_sample

_CASE, _RECORDING = "case.jsonld", "recording-with-chapters.mp4"
_CHAPTERS = {"chapters.vtt": False, "chapters-nested.vtt": True}
"""The files of chapters, and whether they are nested."""
_SUMMARIES = {f"durations.{form}": form for form in ("csv", "xlsx", "html")}


class Demo(NamedTuple):
    """Where it was written, and the summary as a table."""

    folder: Path
    table: str


def run_demo(out: Path, progress: Progress = silent) -> Demo:
    """Write every product of the main job to the folder `out`.

    Where `out` holds what somebody made or changed, all of it stays, and a folder beside with a number is used.
    Raises StoreError, MediaError.
    """
    folder = next(one for one in _numbered(out) if _is_free(one))
    path = folder / _CASE
    with create_sample(path, overwrite=True) as session:
        case = session.case
    for name, nested in _CHAPTERS.items():
        WayOut(folder / name, CHAPTERS, path).write(chapter_file(case, nested=nested)[0].encode())
    embed(case, path, folder / _RECORDING, progress=progress, replace=True)
    for name, form in _SUMMARIES.items():
        text, _ = summary_text(case, form)
        WayOut(folder / name, SUMMARIES[form], path).write(text.encode() if isinstance(text, str) else text)
    return Demo(folder, str(summary_text(case, "table")[0]))


def _numbered(out: Path) -> Iterator[Path]:
    yield out
    whole = out.absolute()
    yield from (whole.parent / f"{whole.name or 'demo'}-{number}" for number in count(2))


def _is_free(folder: Path) -> bool:
    """Whether the folder holds none of the names, or what an earlier run wrote and nobody has changed since."""
    path = folder / _CASE
    if not any(os.path.lexists(folder / name) for name in (_CASE, _RECORDING, *_CHAPTERS, *_SUMMARIES)):
        return True
    ways = [
        *(WayOut(folder / name, CHAPTERS, path) for name in _CHAPTERS),
        *(WayOut(folder / name, SUMMARIES[form], path) for name, form in _SUMMARIES.items()),
        WayOut(folder / _RECORDING, RECORDING, path, replace=True),
    ]
    try:
        check(ways)
        return is_untouched_sample(path)
    except AnnotatorError:
        return False
