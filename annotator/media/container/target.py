"""The containers that are written: which tracks each takes, and what becomes of time without a chapter."""

import re
from pathlib import Path
from typing import Final, NamedTuple

from av.container import InputContainer
from av.stream import Disposition, Stream

from annotator.errors import MediaError
from annotator.media.container.opening import codec_of
from annotator.media.container.taken import refuse_codecs
from annotator.plain_text import plain

NO_CHAPTER: Final = "–"
"""Title for time without a chapter, in containers whose chapters must follow each other without a gap."""

_MUXERS: Final = {".mp4": "mp4", ".m4v": "mp4", ".mov": "mov", ".mkv": "matroska", ".webm": "webm"}

ENDINGS: Final = frozenset(_MUXERS)
"""Of the files that are written."""

GAPLESS: Final = frozenset({"mp4", "mov"})
"""Those whose chapters follow each other without a gap."""

_SUBTITLES: Final = {
    "mp4": {"mov_text", "dvd_subtitle"},
    "mov": {"mov_text"},
    "matroska": {"subrip", "ass", "webvtt", "dvd_subtitle", "hdmv_pgs_subtitle", "dvb_subtitle"},
    "webm": {"webvtt"},
}

_CHAPTER: Final = re.compile(r"\[CHAPTER\]\nTIMEBASE=1/1000\nSTART=(\d+)\nEND=(\d+)\n")


def muxer_for(out: Path) -> str:
    """FFmpeg's name of the container for a file with this ending, or MediaError."""
    muxer = _MUXERS.get(out.suffix.lower())
    if muxer is None:
        raise MediaError(f"“{plain(out.name)}” must end in .mp4, .mov, .mkv or .webm, whose containers hold chapters")
    return muxer


class Kept(NamedTuple):
    """The tracks of a recording that its copy gets, and a sentence for each of the others."""

    tracks: tuple[Stream, ...]
    notes: tuple[str, ...]


def kept_tracks(container: InputContainer, path: Path, muxer: str, *, bare: bool = False) -> Kept:
    """Picture and sound always; unless `bare` captions, attachments and covers where the container has a place.

    MediaError where it has none for picture or sound.
    """
    kept: list[Stream] = []
    notes: list[str] = []
    codecs: list[str] = []
    for stream in container.streams:
        codec = codec_of(stream)
        is_cover = bool(stream.disposition & Disposition.attached_pic)
        is_picture_or_sound = stream.type in ("video", "audio") and not is_cover
        codecs += [codec] if is_picture_or_sound else []
        if is_picture_or_sound or (not bare and _has_place(stream, codec, muxer)):
            kept.append(stream)
        elif not _is_old_chapters(stream, container):
            what = "cover picture" if is_cover else stream.type
            notes.append(f"track {stream.index} of “{plain(path.name)}” ({what}, {codec}) was left out")
    refuse_codecs(path, codecs, muxer)
    return Kept(tuple(kept), tuple(notes))


def _has_place(stream: Stream, codec: str, muxer: str) -> bool:
    if stream.disposition & Disposition.attached_pic:
        return muxer != "webm"
    if stream.type == "subtitle":
        return codec in _SUBTITLES[muxer]
    return stream.type == "attachment" and muxer == "matroska"


def _is_old_chapters(stream: Stream, container: InputContainer) -> bool:
    """MP4 and MOV keep chapters as a track of text; the new ones take its place."""
    return stream.type == "data" and stream.name == "bin_data" and bool(container.chapters())


def chapters_for(muxer: str, ffmetadata: str) -> str:
    """The chapters as the container can hold them.

    Matroska and WebM keep each start and end. MP4 and MOV hold chapters as samples of a track, which follow
    each other from the start without a gap: time without a chapter becomes one titled `NO_CHAPTER`, so that
    the others start and end where they should; `probe` leaves such chapters out again.
    """
    if muxer not in GAPLESS:
        return ffmetadata
    reached = 0

    def close_gap(found: re.Match[str]) -> str:
        nonlocal reached
        start, end = int(found[1]), int(found[2])
        gap = (
            f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={reached}\nEND={start}\ntitle={NO_CHAPTER}\n" if start > reached else ""
        )
        reached = end
        return gap + found[0]

    return _CHAPTER.sub(close_gap, ffmetadata)
