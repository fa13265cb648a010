"""Which of thousands of ranges are worth painting: none outside, and of those thinner than a stroke one a place."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Tag
from annotator.model.timecode import LATEST, Ms

THIN = 2.0
"""Pixels below which a range is no more than a stroke of this width."""


class Extents:
    """Starts and ends of ranges in ms, an end of None while one is running, each in a row of its lane."""

    def __init__(self, ranges: Iterable[tuple[Ms, Ms | None, int]]) -> None:
        found = [(start, -1 if end is None else end, row) for start, end, row in ranges]
        table = np.array(found, dtype=np.int64).reshape(-1, 3)
        self._starts, self._ends, self._rows = table[:, 0], table[:, 1], table[:, 2]

    def worth_painting(self, scale: Scale, at: Ms, left: float, right: float) -> tuple[list[int], list[int]]:
        """Numbers of the ranges to paint in full, and of those to paint as a stroke; both in order.

        Only those that can be seen between two places, in pixels.
        """
        ends = self._ends_at(at)
        pixels = scale.width / (scale.end - scale.start)
        early, late = max(scale.start, scale.at(left - THIN) - 1), min(scale.end, scale.at(right) + 1)
        visible = (self._starts <= late) & (ends >= early)
        thin = (ends - self._starts) * pixels < THIN
        strokes = np.flatnonzero(visible & thin)
        columns = np.floor((self._starts[strokes] - scale.start) * pixels / THIN).astype(np.int64)
        _, first = np.unique(self._rows[strokes] * LATEST + columns, return_index=True)
        return np.flatnonzero(visible & ~thin).tolist(), strokes[np.sort(first)].tolist()

    def touching(self, row: int, start: Ms, end: Ms, at: Ms) -> list[int]:
        """Numbers of the ranges in a row that have some time from `start` to `end`, both included; in order."""
        ends = self._ends_at(at)
        return np.flatnonzero((self._rows == row) & (self._starts <= end) & (ends >= start)).tolist()

    def _ends_at(self, at: Ms) -> NDArray[np.int64]:
        """Ends as drawn: a running range up to `at`."""
        return np.where(self._ends < 0, np.maximum(self._starts, at), self._ends)


def of_tags(placed: Iterable[tuple[Tag, int]]) -> Extents:
    """Those of tags, each with its row."""
    return Extents((tag.start, tag.end, row) for tag, row in placed)
