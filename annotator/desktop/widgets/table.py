"""A table as values, to be shown, sorted and copied."""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO
from typing import NamedTuple

from annotator.formats.tables.escape_formula import escape_formula
from annotator.model.timecode import Ms
from annotator.plain_text import one_line
from annotator.publish.report.wording import length


class Cell(NamedTuple):
    """What is read, by what it is sorted, and what a tip says of it; figures stand at the right."""

    text: str
    value: str | float
    tip: str = ""

    @property
    def is_figure(self) -> bool:
        return not isinstance(self.value, str)


class Line(NamedTuple):
    """A row: its cells, the notation of what it is about, and where it leads, such as to a time in ms."""

    cells: tuple[Cell, ...]
    notation: str
    at: int

    @property
    def names(self) -> tuple[str, ...]:
        """By which it is known again when its figures are others."""
        return (self.notation, *(cell.text for cell in self.cells if not cell.is_figure))


class Table(NamedTuple):
    """Lines under the heads of their columns, of which one takes the room that the others leave."""

    heads: tuple[str, ...]
    lines: tuple[Line, ...]
    wide: str = "Step"


def word_cell(text: str) -> Cell:
    return Cell(one_line(text), one_line(text).casefold())


def time_cell(ms: Ms | None) -> Cell:
    return Cell("", -1) if ms is None else Cell(length(ms), ms)


def as_text(heads: Sequence[str], lines: Iterable[Line]) -> str:
    """Cells between tabs, which spreadsheets take as columns."""
    return _written(heads, lines, "\t")


def as_csv(heads: Sequence[str], lines: Iterable[Line]) -> str:
    """Cells between commas."""
    return _written(heads, lines, ",")


def _written(heads: Sequence[str], lines: Iterable[Line], between: str) -> str:
    """What a spreadsheet would run as a formula is text."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n", delimiter=between)
    writer.writerow(heads)
    writer.writerows([escape_formula(cell.text) for cell in line.cells] for line in lines)
    return out.getvalue()
