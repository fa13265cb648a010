"""What the publish panel can make, each as work for beside the window that ends in a line to show."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from annotator.desktop.work import Job
from annotator.model.case import Case, Tag
from annotator.progress import Progress

if TYPE_CHECKING:
    from annotator.publish.clips import Form


class Order(NamedTuple):
    """A case as it was when the work was asked for, the folder to write into, and what the files are called after."""

    case: Case
    case_path: Path
    folder: Path
    stem: str
    facet: str
    language: str


def recording(order: Order, ending: str) -> Job:
    """The recording with chapters in its container."""
    out = order.folder / f"{order.stem}.with-chapters{ending}"

    def job(progress: Progress) -> str:
        from annotator.publish import recording_with_chapters

        notes = recording_with_chapters.embed(order.case, order.case_path, out, order.facet, order.language, progress)
        return _says(out.name, notes)

    return job


def still_files(order: Order, tags: Sequence[Tag]) -> Job:
    """The frame at the start of each tag."""

    def job(progress: Progress) -> str:
        from annotator.publish import stills

        written, notes = stills.write_stills(order.case, order.case_path, tags, order.folder, progress=progress)
        return _says(_listed(written), notes)

    return job


def clip_files(order: Order, tags: Sequence[Tag], form: "Form") -> Job:
    """A clip of each tag."""

    def job(progress: Progress) -> str:
        from annotator.publish import clips

        written, notes = clips.write_clips(order.case, order.case_path, tags, order.folder, form, progress=progress)
        return _says(_listed(written), notes)

    return job


def shared_folder(order: Order, *, webm: bool) -> Job:
    """A folder with a page that plays."""
    out = order.folder / f"{order.stem}.shared"

    def job(progress: Progress) -> str:
        from annotator.publish import share_folder

        notes = share_folder.write_folder(
            order.case, order.case_path, out, webm=webm, facet=order.facet, progress=progress
        )
        return _says(f"{out.name}, with index.html to open", notes)

    return job


def _listed(written: Sequence[Path]) -> str:
    if not written:
        return ""
    return written[0].name if len(written) == 1 else f"{len(written)} files, the first {written[0].name}"


def _says(what: str, notes: Sequence[str]) -> str:
    return "\n".join([f"Written: {what}." if what else "There was nothing to write.", *dict.fromkeys(notes)])
