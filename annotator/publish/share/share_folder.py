"""A folder to pass on: one page that plays, the recording, its chapters and durations, and what to know of them."""

import os
import shutil
from collections.abc import Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from annotator.durable import flush_folder, replace, why
from annotator.errors import AnnotatorError, MediaError, StoreError
from annotator.formats.captions import ffmetadata, webvtt
from annotator.measure.chapters import ChapterPlan, plan
from annotator.measure.durations import summarise
from annotator.media.container.left_out import left_out_of
from annotator.media.probe import probe
from annotator.media.survey import Survey, survey
from annotator.media.write.clip import cut_exactly
from annotator.media.write.piece import Piece
from annotator.media.write.remux import with_chapters
from annotator.model.case import Case
from annotator.model.vocabulary import DEFAULT_LANGUAGE
from annotator.parts import part_in
from annotator.progress import Progress, Scaled, silent
from annotator.publish.atomic_folder import put
from annotator.publish.options import PageForm
from annotator.publish.report import summary_xlsx
from annotator.publish.share import read_me, share_page
from annotator.publish.share.poster import poster
from annotator.publish.video.kind_of_recording import RECORDING
from annotator.publish.video.sources import READ, tagged_recordings
from annotator.store.ways_out import WayOut, check

_PAGE, _CHAPTERS, _DURATIONS, _POSTER, _READ_ME = (
    "index.html",
    "chapters.vtt",
    "durations.xlsx",
    "poster.jpg",
    "read-me.txt",
)
_RECORDINGS = ("recording.mp4", "recording.webm")
_NAMES = frozenset({_PAGE, _CHAPTERS, _DURATIONS, _POSTER, _READ_ME, *_RECORDINGS})
_ENCODED = 0.9
"""The share of the work that encoding anew takes."""

_PLAYED = (
    (".webm", {"vp8", "vp9", "av1"}, {"opus", "vorbis", None}),
    (".mp4", {"h264", "av1"}, {"aac", "mp3", None}),
)
"""What browsers play, by container: its pictures and its sound; common practice, no source."""


def write_folder(
    case: Case,
    case_path: Path,
    out: Path,
    *,
    form: PageForm = "copy",
    facet: str = "step",
    nested: bool = False,
    language: str = DEFAULT_LANGUAGE,
    progress: Progress = silent,
    kept_in: Path | None = None,
) -> tuple[str, ...]:
    """Write the folder `out`; returns what is to be said of it.

    The recording is copied as it is, with chapters and without its own tags, where browsers can play it;
    else MediaError says so, and what to choose. Its own chapters are flat; those of the page and of the chapter
    file are `nested` if so asked. An `out` that this wrote before is replaced; any other
    folder that holds something is refused. All of it appears at once or not at all. The recordings' frames are kept in
    the folder `kept_in`, or the usual one.
    """
    target = out.absolute()
    with suppress(OSError):
        _take_back(target)
    _refuse(target, case_path, ())
    sources = tagged_recordings(case, case_path, kept_in, Scaled(progress, 0, READ))
    _refuse(target, case_path, sources)
    flat = plan(case, facet=facet, language=language)
    planned = plan(case, facet=facet, language=language, nested=True) if nested else flat
    name = f"recording{_playable_ending(sources) if form == 'copy' else f'.{form}'}"
    try:
        with part_in(target.parent) as part:
            part.mkdir()
            said = _write_recording(
                case, sources, ffmetadata.dumps(flat.chapters), part / name, form, Scaled(progress, READ, 1)
            )
            put(part / _POSTER, poster(case, sources))
            for beside, text in _texts(case, planned, name, facet, language).items():
                put(part / beside, text.encode())
            put(part / _DURATIONS, summary_xlsx.dumps(summarise(case, facet, language=language)))
            _refuse(target, case_path, sources)
            _settle(part, target)
            flush_folder(target.parent)
    except AnnotatorError:
        raise
    except OSError as error:
        raise StoreError(f"The folder {target.name} can't be written: {why(error)}") from error
    return (*planned.notes, *said)


def _texts(case: Case, planned: ChapterPlan, recording: str, facet: str, language: str) -> dict[str, str]:
    # What is said of the recordings names their files, and such a name may be a patient's: not in here.
    files = share_page.Files(recording, _POSTER, (_CHAPTERS, _DURATIONS, _READ_ME))
    left_out = [remark.says for remark in planned.left_out]
    return {
        _PAGE: share_page.dumps(case, planned.chapters, files, left_out, facet, language),
        _CHAPTERS: webvtt.dumps_chapters(planned.chapters),
        _READ_ME: read_me.dumps(case, recording),
    }


def _write_recording(
    case: Case, sources: Sequence[Survey], chapters: str, out: Path, form: PageForm, progress: Progress
) -> tuple[str, ...]:
    durations = [recording.duration for recording in case.recordings]
    if form == "copy":
        return with_chapters(sources, chapters, out, durations, progress)
    whole = [Piece(source, 0, duration) for source, duration in zip(sources, durations, strict=True)]
    with part_in(out.parent) as hidden:
        hidden.mkdir()
        encoded = hidden / out.name  # the name by which the user knows it, where it can't be written
        said = cut_exactly(whole, encoded, Scaled(progress, 0, _ENCODED))
        left = with_chapters([survey(encoded)], chapters, out, [case.duration], Scaled(progress, _ENCODED, 1))
    return (*(sentence for source in sources for sentence in left_out_of(source.path)), *said, *left)


def _playable_ending(sources: Sequence[Survey]) -> str:
    """Of the container for a copy that browsers play; MediaError where there is none."""
    facts = [probe(source.path, source.frames) for source in sources]
    for ending, pictures, sounds in _PLAYED:
        if all(one.video_codec in pictures and one.audio_codec in sounds and one.bit_depth == 8 for one in facts):
            return ending
    held = facts[0].video_codec if facts[0].audio_codec is None else f"{facts[0].video_codec}, {facts[0].audio_codec}"
    raise MediaError(f"Browsers can't play this recording as it is ({held}); re-encode it as H.264 or WebM")


def _refuse(out: Path, case_path: Path, sources: Sequence[Survey]) -> None:
    if not out.parent.is_dir():
        raise StoreError(f"There is no folder {out.parent} to write into; make it first, or name another")
    try:
        os.scandir(out).close()
    except (FileNotFoundError, NotADirectoryError):
        pass
    except OSError as error:
        raise StoreError(f"The folder {out} can't be written: {why(error)}") from error
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise StoreError(f"{out} is not a folder; name one that does not exist yet")
    if out.is_dir() and any(out.iterdir()) and not _is_own(out):
        raise StoreError(f"{out} holds other files, which stay as they are; name a folder that does not exist yet")
    # Somebody may have tagged the copy in an earlier folder: it is a case's recording then.
    read = tuple(source.path for source in sources)
    check(WayOut(out / name, RECORDING, case_path, True, read) for name in _RECORDINGS)


def _is_own(folder: Path) -> bool:
    if not {entry.name for entry in folder.iterdir()} <= _NAMES:
        return False
    page = folder / _PAGE
    return page.is_file() and f'content="{share_page.GENERATOR}"' in page.read_text(encoding="utf-8", errors="replace")


def _settle(part: Path, out: Path) -> None:
    """Give the folder its name; one that stood there is moved aside first and comes back if that fails."""
    if not out.exists():
        replace(part, out)
        return
    aside = _aside(out)
    replace(out, aside)
    try:
        replace(part, out)
    except OSError:
        _take_back(out)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _take_back(out: Path) -> None:
    """Put in order what a kill between two steps of `_settle` left: the folder that stood there is not lost."""
    aside = _aside(out)
    if not aside.is_dir() or not _is_own(aside):
        return
    if out.exists():
        shutil.rmtree(aside, ignore_errors=True)
    else:
        replace(aside, out)


def _aside(out: Path) -> Path:
    """Where the folder stands while another takes its name; always the same, so that the next run finds it."""
    return out.with_name(f".annotator-{sha256(out.name.encode(errors='surrogateescape')).hexdigest()[:16]}.before")
