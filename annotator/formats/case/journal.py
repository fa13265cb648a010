"""The text of a journal: one line for each change of a case, with a checksum.

A line is the CRC-32 of the rest as eight hexadecimal digits, a space, and a JSON object. Tags stand
in it as they do in the case file, so that whoever can read the one can read the other.
"""

from io import BytesIO
from typing import Any, NamedTuple
from zlib import crc32

import msgspec

from annotator.formats.case.upgrades import VERSION


class Record(msgspec.Struct, frozen=True, omit_defaults=True):
    """One change, or a note that the case was saved.

    revision  of the case after the change
    case      IRI of the case
    version   of the case file's form in which the rest is written
    head      all of the case but its tags, where any of that changed
    put       annotations added, or put in the place of those with the same id
    drop      ids of the tags taken out
    saved     SHA-256 of the case file that is about to be written with this revision, in hexadecimal
    """

    revision: int
    case: str
    version: int = VERSION
    head: dict[str, Any] | None = None
    put: tuple[dict[str, Any], ...] = ()
    drop: tuple[str, ...] = ()
    saved: str = ""


class Journal(NamedTuple):
    """The records read, how many bytes they take, and whether what stands behind them was whole once.

    A write that was cut short leaves the beginning of a line. Where a whole line is faulty, the disk or
    another program has changed what was acknowledged.
    """

    records: tuple[Record, ...]
    length: int
    is_damaged: bool


_decoder = msgspec.json.Decoder(Record)


def dumps(record: Record) -> bytes:
    """The record as one line."""
    text = msgspec.json.encode(record)
    return b"%08x %b\n" % (crc32(text), text)


def loads(data: bytes) -> Journal:
    """Every record up to the first that is torn or faulty."""
    records: list[Record] = []
    length = 0
    for line in BytesIO(data):  # one by one: a stranger's may hold nothing but ends of lines
        record = _record(line)
        if record is None:
            break
        records.append(record)
        length += len(line)
    rest = data[length:]
    # The second: a line of which nothing but its end is another.
    is_damaged = b"\n" in rest or _record(rest[:-1] + b"\n") is not None
    return Journal(tuple(records), length, is_damaged)


def _record(line: bytes) -> Record | None:
    checksum, _, text = line.partition(b" ")
    if not text.endswith(b"\n") or checksum != b"%08x" % crc32(text[:-1]):
        return None
    try:
        return _decoder.decode(text)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        return None
