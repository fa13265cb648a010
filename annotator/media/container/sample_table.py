"""The packets of a track from an MP4's or MOV's own table, without reading the pictures themselves.

The table (ISO/IEC 14496-12, 8.6 and 8.7) gives the same stamps as reading the file through, in a
moment whatever its size. It is believed only where it is plain and whole: no fragments, one sample
description, at most a pause and one edit that cuts nothing off at the end, and every picture inside
the file. For anything else the answer is None, and the file is read through.
"""

from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from annotator.media.container.boxes import boxes_in, boxes_of
from annotator.media.container.limits import MAX_FRAMES
from annotator.media.container.packets import Mark, Packets

PLAIN_CODECS: Final = frozenset({"h264", "hevc", "av1", "mpeg4", "mjpeg", "prores"})
"""Those whose every sample is one packet, and none of whose packets stay hidden."""

_LARGEST: Final = 1 << 30
_Boxes = dict[bytes, list[memoryview]]


class _Edit(NamedTuple):
    """What is shown of a track: from `start` on for `length`, after a `pause`; in ticks."""

    start: int
    length: int
    pause: int


class _Unsettled(Exception):
    """The table is not plain enough to go by."""


def packets_in_table(path: Path, track: int) -> Packets | None:
    """The packets of the track with this number in decoding order, or None where the table does not settle them."""
    try:
        moov = _movie(path)
        _require(moov.keys().isdisjoint({b"mvex", b"cmov"}))
        trak = _track(moov, track)
        mdia = boxes_in(trak[b"mdia"][0])
        stbl = boxes_in(boxes_in(mdia[b"minf"][0])[b"stbl"][0])
        edit = _edit(trak, _after_dates(mdia[b"mdhd"][0]), _after_dates(moov[b"mvhd"][0]))
        _require(_is_whole(stbl, path.stat().st_size))
        return _packets(stbl, edit)
    except (_Unsettled, KeyError, IndexError, StopIteration, ValueError, OSError):
        return None


class ShownEdit(NamedTuple):
    """A piece of a track that is shown, in the order of the edit list: ticks of the movie, and how fast it runs."""

    length: int
    rate: float


def edits_of(path: Path, track: int) -> tuple[ShownEdit, ...]:
    """The pieces that the track's edit list shows, pauses left out; none where there is no list, or no such file."""
    try:
        edits = boxes_in(_track(_movie(path), track)[b"edts"][0])[b"elst"][0]
        rows = _table(edits, ">i8,>i8,>i4" if edits[0] == 1 else ">u4,>i4,>i4").tolist()
    except (_Unsettled, KeyError, IndexError, StopIteration, ValueError, OSError):
        return ()
    return tuple(ShownEdit(length, rate / 0x1_0000) for length, start, rate in rows if start >= 0 and length > 0)


def lists_of_chapters(path: Path, track: int) -> int:
    """How many tracks of chapters the track refers to (QuickTime File Format, track reference “chap”)."""
    try:
        return len(boxes_in(_track(_movie(path), track)[b"tref"][0])[b"chap"][0]) // 4
    except (_Unsettled, KeyError, IndexError, StopIteration, ValueError, OSError):
        return 0


def counts_in_nothing(path: Path, track: int) -> bool:
    """Whether the track's times are counted in units of no length: its media header's time scale is 0 (8.4.2)."""
    try:
        return _after_dates(boxes_in(_track(_movie(path), track)[b"mdia"][0])[b"mdhd"][0]) == 0
    except (_Unsettled, KeyError, IndexError, StopIteration, ValueError, OSError):
        return False


def _track(moov: _Boxes, number: int) -> _Boxes:
    return next(trak for trak in map(boxes_in, moov[b"trak"]) if _after_dates(trak[b"tkhd"][0]) == number)


def _require(condition: object) -> None:
    if not condition:
        raise _Unsettled


def _movie(path: Path) -> _Boxes:
    size = path.stat().st_size
    with path.open("rb") as file:
        box = next(box for box in boxes_of(file, size) if box.kind == b"moov")
        _require(box.end <= size and box.end - box.start <= _LARGEST)
        file.seek(box.start)
        return boxes_in(memoryview(file.read(box.end - box.start)))


def _after_dates(header: memoryview) -> int:
    """The number behind the two dates in a movie, track or media header: the time scale, or the track's number."""
    at = 20 if header[0] == 1 else 12
    return int.from_bytes(header[at : at + 4], "big")


def _table(content: memoryview, columns: str, at: int = 8) -> NDArray[np.int64]:
    """The rows of a table that has its count of rows just before `at`."""
    count = int.from_bytes(content[at - 4 : at], "big")
    _require(count <= MAX_FRAMES)
    rows = np.frombuffer(content, dtype=np.dtype(columns), count=count, offset=at)
    return np.stack([rows[name].astype(np.int64) for name in rows.dtype.names or ()], axis=1)


def _edit(trak: _Boxes, scale: int, movie_scale: int) -> _Edit | None:
    if b"edts" not in trak:
        return None
    edits = boxes_in(trak[b"edts"][0])[b"elst"][0]
    rows = _table(edits, ">i8,>i8,>u4" if edits[0] == 1 else ">u4,>i4,>u4").tolist()
    pause = rows.pop(0)[0] if rows and rows[0][1] == -1 else 0
    _require(len(rows) == 1 and scale and movie_scale)
    length, start, rate = rows[0]
    _require(length > 0 and start >= 0 and rate == 0x1_0000)
    return _Edit(start, _rescaled(length, scale, movie_scale), _rescaled(pause, scale, movie_scale))


def _rescaled(value: int, to: int, per: int) -> int:
    """To the nearest, halves up, as FFmpeg does."""
    return (2 * value * to + per) // (2 * per)


def _packets(stbl: _Boxes, edit: _Edit | None) -> Packets:
    runs = _table(stbl[b"stts"][0], ">u4,>i4")
    _require((runs[:, 1] >= 0).all() and runs[:, 0].sum() <= MAX_FRAMES)
    durations = np.repeat(runs[:, 1], runs[:, 0])
    decoded = np.cumsum(durations) - durations
    shown = decoded.copy()
    if b"ctts" in stbl:
        offsets = _table(stbl[b"ctts"][0], ">u4,>i4")
        _require(offsets[:, 0].sum() == len(decoded))
        shown += np.repeat(offsets[:, 1], offsets[:, 0])
    marks = np.zeros(len(decoded), dtype=np.uint8)
    marks[_table(stbl[b"stss"][0], ">u4,")[:, 0] - 1 if b"stss" in stbl else slice(None)] = Mark.KEY
    _require(len(marks) and marks[0])
    if edit is not None:
        hidden = shown < edit.start
        # FFmpeg moves the pictures where the edit begins between two of them.
        _require(shown[~hidden].min() == edit.start and shown.max() < edit.start + edit.length)
        marks[hidden] |= np.uint8(Mark.HIDDEN)
        shown, decoded = shown + (edit.pause - edit.start), decoded + (edit.pause - edit.start)
    return Packets(shown, decoded, durations, marks)


def _is_whole(stbl: _Boxes, size: int) -> bool:
    """Whether the table agrees with itself, and every sample lies inside a file of `size` bytes."""
    sizes = _sample_sizes(stbl[b"stsz"][0])
    chunks = _table(stbl[b"co64"][0], ">i8,")[:, 0] if b"co64" in stbl else _table(stbl[b"stco"][0], ">u4,")[:, 0]
    runs = _table(stbl[b"stsc"][0], ">u4,>u4,>u4")
    firsts = np.append(runs[:, 0] - 1, len(chunks))
    _require(len(runs) and firsts[0] == 0 and (np.diff(firsts) > 0).all())
    per_chunk = np.repeat(runs[:, 1], np.diff(firsts))
    _require(per_chunk.sum() == len(sizes) == _table(stbl[b"stts"][0], ">u4,>u4")[:, 0].sum())
    one_description = int.from_bytes(stbl[b"stsd"][0][4:8], "big") == 1
    before = np.concatenate([[0], np.cumsum(sizes)])
    edges = np.concatenate([[0], np.cumsum(per_chunk)])
    ends = chunks + before[edges[1:]] - before[edges[:-1]]
    return one_description and bool(len(ends)) and int(ends.min()) >= 0 and int(ends.max()) <= size


def _sample_sizes(stsz: memoryview) -> NDArray[np.int64]:
    one_size = int.from_bytes(stsz[4:8], "big")
    if one_size:
        count = int.from_bytes(stsz[8:12], "big")
        _require(count <= MAX_FRAMES)
        return np.full(count, one_size, dtype=np.int64)
    return _table(stsz, ">u4,", at=12)[:, 0]
