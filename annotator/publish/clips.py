"""Clips of chosen tags: to the frame and encoded anew, or copied from the key frame before."""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from annotator.media.clip import Piece, copy_from_key_frame, cut_exactly
from annotator.media.target import ENDINGS
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import SECOND, clock
from annotator.progress import Progress, silent
from annotator.publish.chosen import file_name
from annotator.publish.sources import tagged_recordings

Form = Literal["mp4", "webm", "copy"]
"""H.264 and AAC, VP9 and Opus, or the streams as they are."""


def write_clips(
    case: Case, case_path: Path, tags: Sequence[Tag], folder: Path, form: Form = "mp4", progress: Progress = silent
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a clip of each tag into the folder; returns the files and what is to be said of them.

    A tag across a border is cut from both recordings and joined; one that is to be copied is left out then.
    A moment has no length and gets no clip. If the work is stopped or fails, no clip of this run stays.
    """
    sources = tagged_recordings(case, case_path)
    written: list[Path] = []
    notes: list[str] = []
    try:
        for done, tag in enumerate(tags):
            path, said = _clip(case, sources, tag, folder, form, _share(progress, done, len(tags)), written)
            written += [path] if path else []
            notes += said
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise
    return written, tuple(notes)


def pieces_of(case: Case, sources: Sequence[Path], time: Interval) -> list[Piece]:
    """A range of the case as parts of its recordings."""
    spans = (
        (start, start + recording.duration) for start, recording in zip(case.borders, case.recordings, strict=False)
    )
    return [
        Piece(source, max(time.start, start) - start, min(time.end, end) - start)
        for source, (start, end) in zip(sources, spans, strict=True)
        if min(time.end, end) > max(time.start, start)
    ]


def _clip(
    case: Case, sources: Sequence[Path], tag: Tag, folder: Path, form: Form, progress: Progress, taken: Sequence[Path]
) -> tuple[Path | None, tuple[str, ...]]:
    pieces = pieces_of(case, sources, case.range_of(tag))
    if not pieces:
        why = "is a moment" if tag.end == tag.start else "lies outside the recording"
        return None, (f"the tag at {clock(tag.start)} {why}; it has no clip",)
    if form != "copy":
        path = folder / file_name(case, tag, f".{form}", {one.name for one in taken})
        return path, cut_exactly(pieces, path, progress)
    if len(pieces) > 1:
        return None, (
            f"the tag at {clock(tag.start)} goes across a border, where nothing can be copied; encode it anew",
        )
    ending = pieces[0].path.suffix.lower()
    path = folder / file_name(case, tag, ending if ending in ENDINGS else ".mkv", {one.name for one in taken})
    early = copy_from_key_frame(pieces[0], path, progress)
    return path, (f"{path.name} begins {early / SECOND:.3f} s before its tag, at a key frame",) if early else ()


def _share(progress: Progress, done: int, of: int) -> Progress:
    return lambda part, whole: progress(done + (part / whole if whole else 0), of)
