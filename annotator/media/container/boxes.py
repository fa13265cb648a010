"""The boxes that MP4 and MOV files are made of (ISO/IEC 14496-12, 4.2), read with bounds."""

from collections.abc import Iterator
from typing import BinaryIO, Final, NamedTuple

_MOST_BOXES: Final = 10_000
_HEADER: Final = 16


class Box(NamedTuple):
    kind: bytes
    start: int
    """Where its content begins."""
    end: int


def boxes_of(file: BinaryIO, size: int) -> Iterator[Box]:
    """The outermost boxes of a file of `size` bytes; ends where the chain breaks."""
    at = 0
    for _ in range(_MOST_BOXES):
        file.seek(at)
        box = _box(file.read(_HEADER), at, size)
        if box is None:
            return
        yield box
        at = box.end


def boxes_in(content: memoryview) -> dict[bytes, list[memoryview]]:
    """The contents of the boxes inside another, by kind, in order."""
    found: dict[bytes, list[memoryview]] = {}
    at = 0
    for _ in range(_MOST_BOXES):
        box = _box(bytes(content[at : at + _HEADER]), at, len(content))
        if box is None or box.end > len(content):
            break
        found.setdefault(box.kind, []).append(content[box.start : box.end])
        at = box.end
    return found


def _box(header: bytes, at: int, limit: int) -> Box | None:
    """The box with this header; a size of 0 means up to `limit`, a size of 1 that it stands in the next 8 bytes."""
    if len(header) < 8:
        return None
    size, start = int.from_bytes(header[:4], "big"), at + 8
    if size == 1:
        size, start = int.from_bytes(header[8:16], "big"), at + 16
    elif size == 0:
        size = limit - at
    return Box(header[4:8], start, at + size) if at + size >= start and len(header) >= start - at else None
