"""Stills of chosen tags: the frame at each one's start."""

from collections.abc import Callable, Container, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Final

from annotator.media.frames import FrameReader
from annotator.media.picture import Rgb
from annotator.media.still_file import jpeg_of, png_of
from annotator.model.case import Case, Tag
from annotator.model.timecode import clock
from annotator.progress import Progress, part_of, silent
from annotator.publish.chosen import file_name
from annotator.publish.into_folder import all_at_once, put
from annotator.publish.sources import tagged_recordings
from annotator.publish.wishes import StillForm

_ENCODED: Final[dict[StillForm, Callable[[Rgb], bytes]]] = {"png": png_of, "jpg": jpeg_of}


def write_stills(
    case: Case,
    case_path: Path,
    tags: Sequence[Tag],
    folder: Path,
    form: StillForm = "png",
    taken: Container[str] = (),
    progress: Progress = silent,
    kept_in: Path | None = None,
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a still of each tag into the folder; returns the files and a sentence for each tag that has none.

    No file gets a name that is `taken`; another of the same name is replaced. They appear all at once, or none does.
    The recordings' frames are kept in the folder `kept_in`, or the usual one. Raises MediaError where a recording is
    missing or has changed, StoreError where nothing can be written.
    """
    sources = tagged_recordings(case, case_path, kept_in, part_of(progress, 0, len(tags) + 1))
    names: list[str] = []
    notes: list[str] = []
    with all_at_once(folder) as part, ExitStack() as files:
        readers: dict[int, FrameReader] = {}
        for done, tag in enumerate(tags, 1):
            progress(done, len(tags) + 1)
            if not 0 <= tag.start < case.duration:
                notes.append(f"the tag at {clock(tag.start)} lies outside the recording; it has no still")
                continue
            spot = case.spot(tag.start)
            if spot.recording not in readers:
                source = sources[spot.recording]
                readers[spot.recording] = files.enter_context(FrameReader(source.path, index=source.frames))
            names.append(file_name(case, tag, f".{form}", taken, names))
            put(part / names[-1], _ENCODED[form](readers[spot.recording].at(spot.at)))
    return [folder / name for name in names], tuple(notes)
