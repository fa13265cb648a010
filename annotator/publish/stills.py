"""Stills of chosen tags: the frame at each one's start, as PNG."""

from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path

from annotator.media.frames import FrameReader
from annotator.media.still_file import png_of
from annotator.model.case import Case, Tag
from annotator.model.timecode import clock
from annotator.progress import Progress, silent
from annotator.publish.chosen import file_name
from annotator.publish.sources import tagged_recordings
from annotator.store.atomic import write_atomically


def write_stills(
    case: Case, case_path: Path, tags: Sequence[Tag], folder: Path, progress: Progress = silent
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a still of each tag into the folder; returns the files and a sentence for each tag that has none.

    Raises MediaError where a recording is missing or has changed, StoreError where a file can't be written.
    What a stopped run had written stays: each file is whole.
    """
    sources = tagged_recordings(case, case_path)
    written: list[Path] = []
    notes: list[str] = []
    with ExitStack() as files:
        readers: dict[int, FrameReader] = {}
        for done, tag in enumerate(tags):
            progress(done, len(tags))
            if not 0 <= tag.start < case.duration:
                notes.append(f"the tag at {clock(tag.start)} lies outside the recording; it has no still")
                continue
            spot = case.spot(tag.start)
            if spot.recording not in readers:
                readers[spot.recording] = files.enter_context(FrameReader(sources[spot.recording]))
            path = folder / file_name(case, tag, ".png", {one.name for one in written})
            write_atomically(path, png_of(readers[spot.recording].at(spot.at)))
            written.append(path)
    return written, tuple(notes)
