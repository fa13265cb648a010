"""A recording written again with chapters in its container, its streams copied as they are."""

import shutil
from collections.abc import Callable, Mapping, Sequence
from itertools import accumulate
from math import lcm
from pathlib import Path
from typing import Final, NamedTuple, TypeAlias

import ffmpeg
import numpy as np
from numpy.typing import NDArray

from annotator.errors import MediaError
from annotator.media.container.left_out import kept_of, left_out_of, stays_in_pictures
from annotator.media.container.opening import demuxer_of, file_url, opened, picture_stream
from annotator.media.container.target import ENDINGS, GAPLESS, chapters_for, kept_tracks, muxer_for
from annotator.media.index.frame_index import FrameIndex
from annotator.media.index.reader import read_index
from annotator.media.survey import Survey
from annotator.media.write.atomic_output import atomic_output, why_not_written
from annotator.media.write.ffmpeg_graph import Stream, copied
from annotator.media.write.ffmpeg_run import FfmpegFailed, run
from annotator.media.write.joining import ToJoin, listing, refuse_unlike, to_join
from annotator.model.size import size_in_words
from annotator.model.timecode import SECOND, Ms
from annotator.parts import part_in
from annotator.plain_text import plain
from annotator.progress import Progress, Scaled, silent

_COPIED: Final = 0.85
"""The share of the work that is done once the sources are copied."""

_SPARE: Final = 16 * 2**20
"""Bytes by which a copy may be larger than what it was made from."""

_ALL_TAGS: Final[Mapping[str, object]] = {"map_metadata": 0}
_NO_TAGS: Final[Mapping[str, object]] = {"map_metadata": 1, "map_metadata:s": -1}
"""The second input is the one with the chapters; it has no other words."""

Times: TypeAlias = NDArray[np.int64]


class _Source(NamedTuple):
    """A recording to copy from: what it is, the numbers of the tracks to keep and of the picture among them, and what
    is said of the others."""

    part: ToJoin
    tracks: tuple[int, ...]
    picture: int
    notes: tuple[str, ...]


def _whatever() -> None:
    """Nothing is in the way."""


def with_chapters(
    sources: Sequence[Survey],
    ffmetadata: str,
    out: Path,
    durations: Sequence[Ms],
    progress: Progress = silent,
    *,
    keep_tags: bool = False,
    settling: Callable[[], None] = _whatever,
) -> tuple[str, ...]:
    """Write `out`: the recordings one after the other, with the chapters of `ffmetadata`; nothing is encoded anew.

    sources     recordings in order; for more than one, their streams must agree
    ffmetadata  FFmpeg's metadata text, chapters in ms over all recordings
    out         a .mp4, .m4v, .mov, .mkv or .webm file, none of the sources
    durations   of each recording, in ms, from its zero to the end of its last frame
    progress    runs from 0 to 1; raising from it stops the work
    keep_tags   also what the sources say of themselves: titles, dates, places, captions, attachments, covers
    settling    called once all is written, right before `out` gets it; raising from it leaves `out` as it was

    Returns sentences on what was left out, and on what was kept that may name somebody. Chapters come back to the
    millisecond from all these containers; what becomes of gaps is told at `target.chapters_for`.

    The copy is read again before it takes its name: every frame must stand where it stood. If one does
    not, or anything else goes wrong, MediaError says so, and nothing is left behind.
    """
    muxer = muxer_for(out)
    paths = [source.path for source in sources]
    _refuse_target(paths, out)
    parts = [_source(path, muxer, keep_tags) for path in paths]
    refuse_unlike([source.part for source in parts])
    with atomic_output(out) as part:
        tags = _ALL_TAGS if keep_tags else _NO_TAGS
        chapters = chapters_for(muxer, ffmetadata)
        try:
            _copy(parts, durations, chapters, {"f": muxer, **tags}, part, Scaled(progress, 0, _COPIED))
        except FfmpegFailed as failure:
            raise MediaError(why_not_written(out, str(failure))) from failure
        written = read_index(part, Scaled(progress, _COPIED, 1))
        if _moved(_expected([source.frames for source in sources], durations), written.times):
            raise MediaError(_why_moved(out, paths))
        progress(1, 1)
        settling()
    return tuple(note for source in parts for note in source.notes)


def _copy(
    sources: Sequence[_Source],
    durations: Sequence[Ms],
    chapters: str,
    target: Mapping[str, object],
    part: Path,
    progress: Progress,
) -> None:
    options: dict[str, object] = {**target, "copyinkf": None, "map_chapters": 1}
    if target["f"] in GAPLESS:
        # Its chapters and edits count in this unit: whole milliseconds and the picture's own ticks must both fit.
        options["movie_timescale"] = lcm(SECOND, sources[0].part.tick.denominator)
    if len(sources) > 1:
        # The list has put the first picture at zero; sound that begins a moment earlier must not move it.
        options["copyts"] = None
    with part_in(part.parent) as folder:  # what names a patient's recording is not left in a folder for everyone
        folder.mkdir()
        listed = folder / "chapters.txt"
        listed.write_text(chapters, encoding="utf-8", newline="\n")
        read = _read(sources, durations, folder)
        tracks = [read[str(number)] for number in sources[0].tracks]
        graph = copied([*tracks, _nothing_but_chapters(listed)], read[str(sources[0].picture)], part, options)
        run(graph, sum(durations), progress)


def _refuse_target(sources: Sequence[Path], out: Path) -> None:
    folder = out.absolute().parent
    if not folder.is_dir():
        raise MediaError(f"There is no folder “{plain(str(folder))}” to write into; make it first, or name another")
    if out.is_dir():
        raise MediaError(f"“{plain(out.name)}” is a folder; name a file to write")
    if out.exists() and any(source.exists() and out.samefile(source) for source in sources):
        raise MediaError(f"“{plain(out.name)}” is the recording itself, which is never written to; name another file")
    needed = sum(source.stat().st_size for source in sources if source.exists()) + _SPARE
    free = shutil.disk_usage(folder).free
    if free < needed:
        raise MediaError(
            f"“{plain(out.name)}” needs {size_in_words(needed)} on its drive, {size_in_words(needed - free)} more than "
            "is free there; free some space, or name a file on another drive"
        )


def _source(source: Path, muxer: str, keep_tags: bool) -> _Source:
    with opened(source) as container:
        picture = picture_stream(container, source)
        tracks, notes = kept_tracks(container, source, muxer, bare=not keep_tags)
        said = kept_of(source, container, tracks) if keep_tags else left_out_of(source)
        part = to_join(source, container, picture, tracks)
        return _Source(
            part, tuple(stream.index for stream in tracks), picture.index, (*said, *stays_in_pictures(source), *notes)
        )


def _read(sources: Sequence[_Source], durations: Sequence[Ms], folder: Path) -> Stream:
    """What to copy from: the one recording, or several as if they were one."""
    if len(sources) == 1:
        path = sources[0].part.path
        return ffmpeg.input(file_url(path), f=demuxer_of(path), protocol_whitelist="file", fflags="+genpts")
    parts = folder / "parts.txt"
    parts.write_text(listing([one.part for one in sources], durations), encoding="utf-8", newline="\n")
    # Converting on its own would rewrite H.264's packets; with equal settings there is nothing to convert.
    return ffmpeg.input(file_url(parts), f="concat", safe=0, auto_convert=0, protocol_whitelist="file")


def _nothing_but_chapters(chapters: Path) -> Stream:
    """The chapters as a second input, of which no track is taken: ffmpeg-python knows inputs only by their tracks."""
    return ffmpeg.input(file_url(chapters), f="ffmetadata", protocol_whitelist="file")["s?"]


def _expected(indexes: Sequence[FrameIndex], durations: Sequence[Ms]) -> Times:
    begins = accumulate(durations[:-1], initial=0)
    return np.concatenate([index.times + begin for index, begin in zip(indexes, begins, strict=True)])


def _moved(expected: Times, written: Times) -> bool:
    """Whether frames stand elsewhere; they may be a millisecond early, by the container's rounding, never late."""
    early = expected - written if len(expected) == len(written) else np.array([-1])
    return int(early.min()) < 0 or int(early.max()) > 1


def _why_moved(out: Path, sources: Sequence[Path]) -> str:
    ending = sources[0].suffix.lower()
    may_do = len(sources) == 1 and ending in ENDINGS and ending != out.suffix.lower()
    other = f"name a file that ends in {ending}" if may_do else "re-encode it first"
    return (
        f"“{plain(out.name)}” was not written: in it, frames would not be shown at the times that were tagged, as the "
        f"recording was trimmed without encoding it anew or holds no times for its pictures; {other}"
    )
