"""A folder to pass on: one page with player, chapters, timeline and table, the recording, chapters and durations."""

import secrets
import shutil
from collections.abc import Sequence
from pathlib import Path

from annotator.errors import MediaError, StoreError
from annotator.formats import ffmetadata, webvtt
from annotator.measure.chapters import plan
from annotator.measure.durations import summarise
from annotator.media.clip import Piece, cut_exactly
from annotator.media.probe import probe
from annotator.media.remux import with_chapters
from annotator.model.case import Case
from annotator.progress import Progress, silent
from annotator.publish import share_page, summary_xlsx
from annotator.publish.sources import tagged_recordings
from annotator.store.atomic import why

_NAMES = frozenset({"index.html", "chapters.vtt", "durations.xlsx", "recording.mp4", "recording.webm"})
_ENCODED = 0.9
"""The share of the work that encoding anew takes."""

_PLAYED = (
    (".webm", {"vp8", "vp9", "av1"}, {"opus", "vorbis", None}),
    (".mp4", {"h264", "av1"}, {"aac", "mp3", None}),
)
"""What browsers play, by container: its pictures and its sound; common practice, no source."""


def write_folder(
    case: Case, case_path: Path, out: Path, *, webm: bool = False, facet: str = "step", progress: Progress = silent
) -> tuple[str, ...]:
    """Write the folder `out`; returns what is to be said of it.

    The recording is copied as it is, with chapters and without its own tags, where browsers can play it;
    with `webm` it is encoded anew as VP9 and Opus. An `out` that this wrote before is replaced; any other
    folder that holds something is refused. All of it appears at once or not at all.
    """
    target = out.absolute()
    _refuse(target)
    sources = tagged_recordings(case, case_path)
    planned = plan(case, facet=facet)
    name = "recording.webm" if webm else f"recording{_playable_ending(sources)}"
    part = target.with_name(f".annotator-{secrets.token_hex(8)}.part")
    try:
        part.mkdir()
        said = _write_recording(case, sources, ffmetadata.dumps(planned.chapters), part / name, webm, progress)
        # What is said of the recordings names their files, and such a name may be a patient's: not in the page.
        page = share_page.dumps(case, planned.chapters, facet, name, planned.notes)
        (part / "index.html").write_text(page, encoding="utf-8", newline="\n")
        (part / "chapters.vtt").write_text(webvtt.dumps_chapters(planned.chapters), encoding="utf-8", newline="\n")
        (part / "durations.xlsx").write_bytes(summary_xlsx.dumps(summarise(case, facet)))
        _settle(part, target)
    except OSError as error:
        raise StoreError(f"The folder {target.name} can't be written: {why(error)}") from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return (*planned.notes, *said)


def _write_recording(
    case: Case, sources: Sequence[Path], chapters: str, out: Path, webm: bool, progress: Progress
) -> tuple[str, ...]:
    durations = [recording.duration for recording in case.recordings]
    if not webm:
        return with_chapters(sources, chapters, out, durations, progress, bare=True)
    whole = [Piece(source, 0, duration) for source, duration in zip(sources, durations, strict=True)]
    encoded = out.with_name("encoded.webm")
    said = cut_exactly(whole, encoded, lambda done, total: progress(_ENCODED * done / (total or 1), 1))
    left = with_chapters(
        [encoded],
        chapters,
        out,
        [case.duration],
        lambda done, total: progress(_ENCODED + (1 - _ENCODED) * done / (total or 1), 1),
        bare=True,
    )
    encoded.unlink()
    return (*said, *left)


def _playable_ending(sources: Sequence[Path]) -> str:
    """Of the container for a copy that browsers play; MediaError where there is none."""
    facts = [probe(source) for source in sources]
    for ending, pictures, sounds in _PLAYED:
        if all(one.video_codec in pictures and one.audio_codec in sounds and one.bit_depth == 8 for one in facts):
            return ending
    held = facts[0].video_codec if facts[0].audio_codec is None else f"{facts[0].video_codec}, {facts[0].audio_codec}"
    raise MediaError(f"Browsers do not play this recording as it is ({held}); choose WebM, which encodes it anew")


def _refuse(out: Path) -> None:
    if not out.parent.is_dir():
        raise StoreError(f"There is no folder {out.parent} to write into; make it first, or name another")
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise StoreError(f"{out} is no folder; name one that does not exist yet")
    if out.is_dir() and any(out.iterdir()) and not _is_own(out):
        raise StoreError(f"{out} holds other files, which stay as they are; name a folder that does not exist yet")


def _is_own(folder: Path) -> bool:
    if not {entry.name for entry in folder.iterdir()} <= _NAMES:
        return False
    page = folder / "index.html"
    return page.is_file() and f'content="{share_page.GENERATOR}"' in page.read_text(encoding="utf-8", errors="replace")


def _settle(part: Path, out: Path) -> None:
    """Give the folder its name; one that stood there is moved aside first and comes back if that fails."""
    if not out.exists():
        part.rename(out)
        return
    aside = out.with_name(f".annotator-{secrets.token_hex(8)}.old")
    out.rename(aside)
    try:
        part.rename(out)
    except OSError:
        aside.rename(out)
        raise
    shutil.rmtree(aside, ignore_errors=True)
