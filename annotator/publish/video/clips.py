"""Clips of chosen tags: to the frame and encoded anew, or copied from the key frame before."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from annotator.media.container.left_out import stays_in_pictures
from annotator.media.container.taken import takes
from annotator.media.container.target import ENDINGS, muxer_for
from annotator.media.survey import Survey
from annotator.media.write.clip import cut_exactly
from annotator.media.write.copied_clip import copy_from_key_frame, starts_early
from annotator.media.write.piece import Piece
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import SECOND, Ms, clock
from annotator.progress import Progress, Scaled, silent, tell
from annotator.publish.atomic_folder import all_at_once
from annotator.publish.options import ClipForm
from annotator.publish.video.kind_of_recording import RECORDING
from annotator.publish.video.sources import tagged_recordings
from annotator.publish.video.tag_selection import file_name
from annotator.store.ways_out import WayOut, check


def write_clips(
    case: Case,
    case_path: Path,
    tags: Sequence[Tag],
    folder: Path,
    form: ClipForm = "mp4",
    progress: Progress = silent,
    kept_in: Path | None = None,
    *,
    replace: bool = False,
) -> tuple[list[Path], tuple[str, ...]]:
    """Write a clip of each tag into the folder; returns the files and what is to be said of them.

    A tag across a border is cut from both recordings and joined; one that is to be copied is left out then.
    A moment has no length and gets no clip. A recording of the same name gives way only to `replace`, and never one
    that a case refers to; that is said before anything is cut. They appear all at once, or none does. The recordings'
    frames are kept in the folder `kept_in`, or the usual one. Raises MediaError, StoreError.
    """
    sources = tagged_recordings(case, case_path, kept_in, Scaled(progress, 0, 1, len(tags) + 1))
    wanted = [(tag, pieces_of(case, sources, case.range_of(tag))) for tag in tags]
    possible = [(tag, pieces) for tag, pieces in wanted if not _why_not(tag, pieces, form)]
    notes = [why_not for tag, pieces in wanted if (why_not := _why_not(tag, pieces, form))]
    names: list[str] = []
    for tag, pieces in possible:
        names.append(file_name(case, tag, _ending(pieces[0].source, form), names))
    read = tuple(source.path for source in sources)
    ways = [WayOut(folder / name, RECORDING, case_path, replace, read) for name in names]
    check(ways)
    with all_at_once(folder) as part:
        for done, (name, (_, pieces)) in enumerate(zip(names, possible, strict=True), 1):
            tell(progress, f"clip {done} of {len(possible)}")
            notes += _write(pieces, part / name, form, Scaled(progress, done, done + 1, len(possible) + 1))
        check(ways)
    return [folder / name for name in names], (*notes, *_kept_by_copies([pieces for _, pieces in possible], form))


def starts_of_copies(
    case: Case, case_path: Path, tags: Sequence[Tag], progress: Progress = silent, kept_in: Path | None = None
) -> list[Ms]:
    """By how much the copied clip of each tag that can have one would begin before it, as `write_clips` will say."""
    sources = tagged_recordings(case, case_path, kept_in, Scaled(progress, 0, 1, len(tags) + 1))
    found: list[Ms] = []
    for done, tag in enumerate(tags, 1):
        progress(done, len(tags) + 1)
        pieces = pieces_of(case, sources, case.range_of(tag))
        found += [starts_early(pieces[0])] if len(pieces) == 1 else []
    return found


def pieces_of(case: Case, sources: Sequence[Survey], time: Interval) -> list[Piece]:
    """A range of the case as parts of its recordings."""
    spans = (
        (start, start + recording.duration) for start, recording in zip(case.borders, case.recordings, strict=False)
    )
    return [
        Piece(source, max(time.start, start) - start, min(time.end, end) - start)
        for source, (start, end) in zip(sources, spans, strict=True)
        if min(time.end, end) > max(time.start, start)
    ]


def _why_not(tag: Tag, pieces: Sequence[Piece], form: ClipForm) -> str:
    """Why a tag has no clip; empty where it has."""
    if not pieces:
        why = "is a moment" if tag.end == tag.start else "lies outside the recording"
        return f"the tag at {clock(tag.start)} {why}; it has no clip"
    if form == "copy" and len(pieces) > 1:
        return f"the tag at {clock(tag.start)} goes across a border, where nothing can be copied; encode it anew"
    return ""


def _ending(source: Survey, form: ClipForm) -> str:
    """A copy keeps the ending of its source where such files take what is in it, else it is Matroska."""
    if form != "copy":
        return f".{form}"
    ending = source.path.suffix.lower()
    return ending if ending in ENDINGS and takes(muxer_for(source.path), source.codecs) else ".mkv"


def _kept_by_copies(clips: Sequence[Sequence[Piece]], form: ClipForm) -> Iterator[str]:
    """What stays in the pictures of clips that are not encoded anew, said once for each recording."""
    for path in dict.fromkeys(piece.source.path for pieces in clips for piece in pieces) if form == "copy" else ():
        yield from stays_in_pictures(path)


def _write(pieces: Sequence[Piece], path: Path, form: ClipForm, progress: Progress) -> tuple[str, ...]:
    if form != "copy":
        return cut_exactly(pieces, path, progress)
    early = copy_from_key_frame(pieces[0], path, progress)
    begins = (f"{path.name} begins {early / SECOND:.3f} s before its tag, at a key frame",) if early else ()
    return (*begins, *pieces[0].source.unheard)
