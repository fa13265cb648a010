"""Where a range of a case's time lies in its recordings."""

from collections.abc import Iterator
from typing import NamedTuple

from annotator.model.case import Case
from annotator.model.timecode import Ms


class Piece(NamedTuple):
    """The part of a range that lies in one recording: ms from that recording's zero; `end` None is open."""

    recording: int
    start: Ms
    end: Ms | None


def pieces(case: Case, start: Ms, end: Ms | None) -> Iterator[Piece]:
    """The range cut at the borders between recordings; one piece at least, also of a range past the end of the case.

    An `end` of None is open; a moment (`end` equal to `start`) is one piece without length.
    """
    if not case.recordings:
        return
    first, last = case.spot(start).recording, len(case.recordings) - 1
    for index in range(first, last):
        border, next_border = case.borders[index], case.borders[index + 1]
        if end is not None and end <= next_border:
            yield Piece(index, max(start - border, 0), end - border)
            return
        if next_border > border:
            yield Piece(index, max(start - border, 0), next_border - border)
    border = case.borders[last]
    yield Piece(last, max(start - border, 0), None if end is None else end - border)
