"""Stills of chosen tags: the frame at each one's start."""

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Final

from annotator.media.pictures.frames import FrameReader
from annotator.media.pictures.picture import Rgb
from annotator.media.pictures.still_file import jpeg_of, png_of
from annotator.model.case import Case, Tag
from annotator.model.timecode import clock
from annotator.progress import Progress, Scaled, silent, tell
from annotator.publish.atomic_folder import all_at_once, put
from annotator.publish.kinds import STILLS
from annotator.publish.options import StillForm
from annotator.publish.video.sources import tagged_recordings
from annotator.publish.video.tag_selection import file_name
from annotator.store.ways_out import WayOut, check

_ENCODED: Final[dict[StillForm, Callable[[Rgb], bytes]]] = {"png": png_of, "jpg": jpeg_of}


def write_stills(
    case: Case,
    case_path: Path,
    tags: Sequence[Tag],
    folder: Path,
    form: StillForm = "png",
    progress: Progress = silent,
    kept_in: Path | None = None,
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a still of each tag into the folder; returns the files and a sentence for each tag that has none.

    A picture of the same name is replaced, anything else is not. They appear all at once, or none does. The recordings'
    frames are kept in the folder `kept_in`, or the usual one. Raises MediaError where a recording is missing or has
    changed, StoreError where something can't be written.
    """
    inside = [tag for tag in tags if _has_frame(case, tag)]
    outside = [clock(tag.start) for tag in tags if not _has_frame(case, tag)]
    notes = tuple(f"the tag at {at} lies outside the recording; it has no still" for at in outside)
    names: list[str] = []
    for tag in inside:
        names.append(file_name(case, tag, f".{form}", names))
    ways = [WayOut(folder / name, STILLS[form], case_path) for name in names]
    check(ways)
    sources = tagged_recordings(case, case_path, kept_in, Scaled(progress, 0, 1, len(inside) + 1))
    with all_at_once(folder) as part, ExitStack() as files:
        readers: dict[int, FrameReader] = {}
        for done, (name, tag) in enumerate(zip(names, inside, strict=True), 1):
            tell(progress, f"still {done} of {len(inside)}")
            progress(done, len(inside) + 1)
            spot = case.spot(tag.start)
            if spot.recording not in readers:
                source = sources[spot.recording]
                readers[spot.recording] = files.enter_context(FrameReader(source.path, index=source.frames))
            put(part / name, _ENCODED[form](readers[spot.recording].at(spot.at)))
        check(ways)
    return [folder / name for name in names], notes


def _has_frame(case: Case, tag: Tag) -> bool:
    return 0 <= tag.start < case.duration
