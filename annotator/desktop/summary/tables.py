"""The figures of a case as tables, from the same values as the published files."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from io import StringIO
from typing import Final, NamedTuple

from annotator.formats.tables.escape_formula import escape_formula
from annotator.measure.durations import Summary, Visit, summarise, visits
from annotator.measure.rows import Row
from annotator.model.case import Case
from annotator.model.timecode import Ms
from annotator.plain_text import capitalised, one_line
from annotator.publish.report.wording import bounds, counted, interrupted, length, percent


class Cell(NamedTuple):
    """What is read, by what it is sorted, and what a tip says of it; figures stand at the right."""

    text: str
    value: str | float
    tip: str = ""

    @property
    def is_figure(self) -> bool:
        return not isinstance(self.value, str)


class Line(NamedTuple):
    """A row: its cells, the notation of what it is about, and when that begins, in ms on the case's clock."""

    cells: tuple[Cell, ...]
    notation: str
    at: Ms

    @property
    def names(self) -> tuple[str, ...]:
        """By which it is known again when its figures are others."""
        return (self.notation, *(cell.text for cell in self.cells if not cell.is_figure))


class Table(NamedTuple):
    """Lines under the heads of their columns."""

    heads: tuple[str, ...]
    lines: tuple[Line, ...]


class Figures(NamedTuple):
    """All that is shown of one category of a case; the tables by the words under which they are chosen."""

    summary: Summary
    visits: tuple[Visit, ...]
    tables: Mapping[str, Table]


BY_STEP, BY_PERFORMER, WITHIN, OCCURRENCES = "By step", "By performer", "Within", "Occurrences"
VIEWS: Final = (BY_STEP, BY_PERFORMER, WITHIN, OCCURRENCES)

_FIGURES: Final = ("Count", "Net", "Elapsed", "Of operation", "Of recording", "Longest", "Median")

_ONLY_BY_STEP: Final = ("Elapsed", "Median")


def figures_of(case: Case, facet: str, inside: str) -> Figures:
    """Count anew; `inside` is the category, or `performer`, whose time within each step is shown.

    Raises UnknownName for a facet that the vocabulary lacks.
    """
    summary, found = summarise(case, facet, by_performer=True, within=inside), visits(case, facet)
    tables = (_by_step(summary), _by_performer(summary), _within(summary), _occurrences(found))
    return Figures(summary, found, dict(zip(VIEWS, tables, strict=True)))


def _by_step(summary: Summary) -> Table:
    """What fits beside the page of publishing in a low window; the files have mean and first start too."""
    return Table(("Step", *_FIGURES), tuple(_line(row) for row in summary.rows))


def _by_performer(summary: Summary) -> Table:
    """Without the columns that leave the names of steps no room; the file has them."""
    shown = [column for column, head in enumerate(("Step", *_FIGURES)) if head not in _ONLY_BY_STEP]
    lines = [(_performer(group.label), _line(row)) for group in summary.by_performer or () for row in group.rows]
    heads = ("Performer", *(("Step", *_FIGURES)[column] for column in shown))
    return Table(heads, tuple(line._replace(cells=(who, *(line.cells[at] for at in shown))) for who, line in lines))


def _within(summary: Summary) -> Table:
    """One line for each thing that lay within a step, and one for what is left of a step with any."""
    lines = []
    for row in summary.within.rows if summary.within else ():
        at = next(one.first_start for one in summary.rows if one.notation == row.notation)
        for part in row.all_parts:
            moments = Cell(str(part.marked) if part.marked else "", part.marked)
            figures = (_time(part.total), Cell(percent(part.share), part.share), moments)
            lines.append(Line((_word(row.label), _word(part.label), *figures), row.notation, at))
    return Table(("Step", "Within it", "Time", "Of step", "Marked"), tuple(lines))


def _occurrences(found: Sequence[Visit]) -> Table:
    names = {one.iri: _word(one.label()) for one in {one.concept.iri: one.concept for one in found}.values()}
    lines = (
        Line(
            (names[one.concept.iri], *map(_time, (one.start, one.end, one.end - one.start))),
            one.concept.notation,
            one.start,
        )
        for one in found
    )
    return Table(("Step", "Start", "End", "Length"), tuple(lines))


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


def _line(row: Row) -> Line:
    broken = f"Interrupted by {interrupted(row)}" if row.interruptions else ""
    shares = [share if row.timed else None for share in (row.operating_share, row.share)]
    figures = (
        Cell(counted(row), row.visits),
        _time(row.total if row.timed else None),
        _time(row.elapsed)._replace(tip=broken),
        *(Cell(percent(share), -1 if share is None else share) for share in shares),
        *map(_time, (row.longest, row.median)),
    )
    return Line((_word(row.label)._replace(tip="\n".join(bounds(row))), *figures), row.notation, row.first_start)


def _word(text: str) -> Cell:
    return Cell(one_line(text), one_line(text).casefold())


def _performer(label: str) -> Cell:
    return _word(capitalised(label) or "Not given")


def _time(ms: Ms | None) -> Cell:
    return Cell("", -1) if ms is None else Cell(length(ms), ms)
