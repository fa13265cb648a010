"""The figures of a case as tables, from the same values as the published files."""

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from annotator.desktop.widgets.table import Cell, Line, Table, time_cell, word_cell
from annotator.measure.durations import Summary, Visit, summarise, visits
from annotator.measure.rows import Row
from annotator.model.case import Case
from annotator.plain_text import capitalised
from annotator.publish.report.wording import bounds, counted, interrupted, percent


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
            figures = (time_cell(part.total), Cell(percent(part.share), part.share), moments)
            lines.append(Line((word_cell(row.label), word_cell(part.label), *figures), row.notation, at))
    return Table(("Step", "Within it", "Time", "Of step", "Marked"), tuple(lines))


def _occurrences(found: Sequence[Visit]) -> Table:
    names = {one.iri: word_cell(one.label()) for one in {one.concept.iri: one.concept for one in found}.values()}
    lines = (
        Line(
            (names[one.concept.iri], *map(time_cell, (one.start, one.end, one.end - one.start))),
            one.concept.notation,
            one.start,
        )
        for one in found
    )
    return Table(("Step", "Start", "End", "Length"), tuple(lines))


def _line(row: Row) -> Line:
    broken = f"Interrupted by {interrupted(row)}" if row.interruptions else ""
    shares = [share if row.timed else None for share in (row.operating_share, row.share)]
    figures = (
        Cell(counted(row), row.visits),
        time_cell(row.total if row.timed else None),
        time_cell(row.elapsed)._replace(tip=broken),
        *(Cell(percent(share), -1 if share is None else share) for share in shares),
        *map(time_cell, (row.longest, row.median)),
    )
    return Line((word_cell(row.label)._replace(tip="\n".join(bounds(row))), *figures), row.notation, row.first_start)


def _performer(label: str) -> Cell:
    return word_cell(capitalised(label) or "Not given")
