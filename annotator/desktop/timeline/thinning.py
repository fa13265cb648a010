"""Which of thousands of ranges to paint: none outside the view, and one per place of those thinner than a stroke."""

from collections.abc import Iterable
from typing import Self

import numpy as np
from numpy.typing import NDArray

from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Tag
from annotator.model.timecode import LATEST, Ms

THIN = 2
"""Pixels below which a range is no more than a stroke of this width."""


Table = NDArray[np.int64]
"""Ranges by column, in order of their starts: start and end in ms, an end of -1 while one is running, and the row of
its lane.
"""


Column = NDArray[np.int64]


class Extents:
    """Ranges in order of their starts: start and end in ms, an end of None while one is running, each in a row."""

    def __init__(self, ranges: Iterable[tuple[Ms, Ms | None, int]]) -> None:
        self._use(table_of(ranges))

    @classmethod
    def joined(cls, tables: Iterable[Table]) -> Self:
        """Those of several tables, one after the other."""
        whole = cls(())
        whole._use(np.concatenate([whole._table, *tables], axis=1))
        return whole

    def _use(self, table: Table) -> None:
        self._table = table
        self._starts: Column = table[0]
        self._ends: Column = table[1]
        self._rows: Column = table[2]
        self._in_rows = np.argsort(self._rows, kind="stable") if self._rows.any() else None
        """The numbers of the ranges by row, and within each by start; None where all are in one row."""
        self._after = _starts_after(table, self._in_rows)
        self._is_any_running = bool((self._ends < 0).any())
        self._found: tuple[object, tuple[list[int], NDArray[np.intp]]] | None = None

    def worth_painting(self, scale: Scale, at: Ms, left: float, right: float) -> tuple[list[int], NDArray[np.intp]]:
        """Numbers of the ranges to paint in full, and of those to paint as a stroke; both in order.

        Only those that can be seen between two places, in pixels. What was asked for last is known still: most frames
        change nothing but the place of the playhead.
        """
        asked = (scale, left, right, self.changes_with(at))
        if self._found is None or self._found[0] != asked:
            self._found = asked, self._sorted_out(scale, at, left, right)
        return self._found[1]

    def _sorted_out(self, scale: Scale, at: Ms, left: float, right: float) -> tuple[list[int], NDArray[np.intp]]:
        ends = self._ends_at(at)
        pixels = scale.width / (scale.end - scale.start)
        early, late = max(scale.start, scale.at(left - THIN) - 1), min(scale.end, scale.at(right) + 1)
        visible = (self._starts <= late) & (ends >= early)
        thin = ends - self._starts < THIN / pixels
        is_stroke = visible & thin
        strokes = np.flatnonzero(is_stroke) if self._in_rows is None else self._in_rows[is_stroke[self._in_rows]]
        columns = np.floor((self._starts[strokes] - scale.start) * (pixels / THIN)).astype(np.int64)
        places = columns if self._in_rows is None else self._rows[strokes] * LATEST + columns
        first = np.diff(places, prepend=-LATEST) != 0  # of each place, which come in rising order
        return np.flatnonzero(visible & ~thin).tolist(), np.sort(strokes[first])

    @property
    def most_rows(self) -> int:
        """One more than the greatest row; at least one."""
        return int(self._rows.max(initial=0)) + 1

    @property
    def are_moments(self) -> NDArray[np.bool_]:
        """Of each range whether it has no length."""
        found: NDArray[np.bool_] = self._starts == self._ends
        return found

    def lefts(self, numbers: NDArray[np.intp], scale: Scale) -> NDArray[np.float64]:
        """Where ranges begin, in pixels."""
        since = (self._starts[numbers] - scale.start).astype(np.float64)
        return scale.left + since * (scale.width / (scale.end - scale.start))

    def rows(self, numbers: NDArray[np.intp]) -> NDArray[np.int64]:
        """The row of each range."""
        return self._rows[numbers]

    def changes_with(self, at: Ms) -> Ms:
        """The time, where what is drawn changes with it; else 0."""
        return at if self._is_any_running else 0

    def with_room(self, scale: Scale, at: Ms, inside: float, beside: float) -> list[tuple[int, float]]:
        """Numbers of the visible ranges that are wider than `inside`, or have so much free room at their right, with
        the place where that room ends; all in pixels. A running one has none: it grows into it.
        """
        ends, running = self._ends_at(at), self._ends < 0
        pixels = scale.width / (scale.end - scale.start)
        after = np.where(running, ends, np.minimum(self._after, scale.end))
        visible = (self._starts <= scale.end) & (ends >= scale.start)
        roomy = ((ends - self._starts) * pixels > inside) | ((after - ends) * pixels >= beside)
        numbers = np.flatnonzero(visible & roomy).tolist()
        return [(number, scale.x(int(after[number]))) for number in numbers]

    def touching(self, row: int, start: Ms, end: Ms, at: Ms) -> list[int]:
        """Numbers of the ranges in a row that have some time from `start` to `end`, both included; in order."""
        ends = self._ends_at(at)
        return np.flatnonzero((self._rows == row) & (self._starts <= end) & (ends >= start)).tolist()

    def _ends_at(self, at: Ms) -> NDArray[np.int64]:
        """Ends as drawn: a running range up to `at`."""
        return np.where(self._ends < 0, np.maximum(self._starts, at), self._ends)


def _starts_after(table: Table, in_rows: NDArray[np.intp] | None) -> NDArray[np.int64]:
    """Of each range when the next one of its row begins; the latest time there is where none does."""
    after = np.full(table.shape[1], LATEST, dtype=np.int64)
    if in_rows is None:
        after[:-1] = table[0, 1:]
    else:
        starts, rows = table[0][in_rows], table[2][in_rows]
        after[in_rows[:-1]] = np.where(rows[1:] == rows[:-1], starts[1:], LATEST)
    return after


def table_of(ranges: Iterable[tuple[Ms, Ms | None, int]]) -> Table:
    """Starts and ends, each with its row."""
    found = [(start, -1 if end is None else end, row) for start, end, row in ranges]
    return np.ascontiguousarray(np.array(found, dtype=np.int64).reshape(-1, 3).T)


def of_tags(placed: Iterable[tuple[Tag, int]]) -> Table:
    """Those of tags, each with its row."""
    return table_of((tag.start, tag.end, row) for tag, row in placed)
