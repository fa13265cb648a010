"""The elements that Matroska and WebM files are made of (EBML, RFC 8794), read with bounds."""

from typing import BinaryIO, Final, NamedTuple

_LONGEST_ID: Final = 4
_LONGEST_SIZE: Final = 8
_LONGEST_NUMBER: Final = 8


class Element(NamedTuple):
    kind: int
    """Its id, with the marker of its length."""
    start: int
    """Where its content begins."""
    end: int


def element_at(file: BinaryIO, at: int, limit: int) -> Element | None:
    """The element that begins at `at`, or None; one of unknown size lasts up to `limit`, others may end beyond it."""
    if at >= limit:  # no file system seeks to wherever a damaged size points
        return None
    file.seek(at)
    header = file.read(_LONGEST_ID + _LONGEST_SIZE)
    id_length = _length(header, 0)
    size_length = _length(header, id_length)
    start = at + id_length + size_length
    if not 0 < id_length <= _LONGEST_ID or not size_length or start > limit:
        return None
    kind = int.from_bytes(header[:id_length], "big")
    unknown = (1 << 7 * size_length) - 1
    size = int.from_bytes(header[id_length : id_length + size_length], "big") & unknown
    return Element(kind, start, limit if size == unknown else start + size)


def number_in(content: bytes) -> int | None:
    """An unsigned number (RFC 8794, 7.2); None where it is longer than one may be."""
    return int.from_bytes(content, "big") if len(content) <= _LONGEST_NUMBER else None


def text_in(content: bytes) -> str:
    """UTF-8 up to its end or a zero (RFC 8794, 7.5)."""
    return content.partition(b"\0")[0].decode("utf-8", "replace")


def _length(header: bytes, at: int) -> int:
    """Of the number of variable length that begins there (RFC 8794, 4): the place of its first bit; 0 for none."""
    first = header[at] if at < len(header) else 0
    length = 9 - first.bit_length() if first else 0
    return length if at + length <= len(header) else 0
