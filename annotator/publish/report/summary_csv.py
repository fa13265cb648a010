"""A step-duration summary as CSV: one row for each concept, or for each place, integers in ms. See docs/measures.md.

UTF-8 without a byte order mark, which programs would take for a part of the first column's name; for a
spreadsheet there is the workbook. Untagged time and transitions are in the other formats.
"""

import csv
from collections.abc import Mapping, Sequence
from io import StringIO

from annotator.formats.tables.escape_formula import escape_formula
from annotator.formats.tables.tags_csv import TERM
from annotator.measure.durations import Summary, altered_of, visits
from annotator.measure.rows import Row
from annotator.measure.within import Within
from annotator.model.case import Case
from annotator.model.recording import Altered
from annotator.model.retina import field_in_words
from annotator.model.roles import NOBODY
from annotator.model.vocabulary import DEFAULT_LANGUAGE, Concept, label_in
from annotator.plain_text import one_line

ALTERED = "altered"
"""The last column of each table: in which ways recordings do not run as the operation did; mostly empty."""

BOUNDS = ("begins_when", "ends_when")
"""What is seen when an occurrence begins and ends, as the vocabulary says it."""

COLUMNS = (
    "notation",
    "label",
    "visits",
    "timed",
    "total_ms",
    "elapsed_ms",
    "longest_ms",
    "mean_ms",
    "median_ms",
    "share",
    "operating_share",
    "first_start_ms",
    *BOUNDS,
    ALTERED,
)

OCCURRENCE_COLUMNS = ("notation", "label", "start_ms", "end_ms", "length_ms", *BOUNDS, ALTERED)

WITHIN_COLUMNS = (
    "notation",
    "label",
    "total_ms",
    "within",
    "within_label",
    "within_ms",
    "within_share",
    "marked",
    ALTERED,
)

PLACE_COLUMNS = ("hour", "zone", "label", "total_ms", "share", ALTERED)


def dumps(summary: Summary, terms: Mapping[str, str] | None = None) -> str:
    """The rows under a header; by performer a first column says whose, empty for all together.

    `terms` has what a training body calls the roles, by their codes; then the last column says so.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    altered = ways(summary.altered)
    if summary.by_performer is None:
        writer.writerow(COLUMNS)
        writer.writerows((*_cells(row), altered) for row in summary.rows)
    else:
        ends = ((), ()) if terms is None else ((TERM,), ("",))
        writer.writerow(("performer", *COLUMNS, *ends[0]))
        writer.writerows(("", *_cells(row), altered, *ends[1]) for row in summary.rows)
        for group in summary.by_performer:
            who = _names(group.performer or NOBODY)
            term = () if terms is None else _names(terms.get(group.performer or "", ""))
            writer.writerows((*who, *_cells(row), altered, *term) for row in group.rows)
    return out.getvalue()


def dumps_places(summary: Summary) -> str:
    """The fields of the retina chart that have any time, in the order of the chart; a table of its own."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(PLACE_COLUMNS)
    for field, ms in summary.places.fields.items():
        share = ms / summary.duration if summary.duration else 0.0
        writer.writerow((field.hour or "", field.zone, field_in_words(field), ms, share, ways(summary.altered)))
    return out.getvalue()


def dumps_within(within: Within, altered: Sequence[Altered] = ()) -> str:
    """One row for each thing that lay within a step; a table of its own."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(WITHIN_COLUMNS)
    for row in within.rows:
        step = (*_names(row.notation, row.label), row.total)
        for part in row.parts:
            writer.writerow(
                (*step, *_names(part.notation, part.label), part.total, part.share, part.marked, ways(altered))
            )
    return out.getvalue()


def ways(altered: Sequence[Altered]) -> str:
    """As they stand in a cell."""
    return "; ".join(altered)


def _names(*texts: str) -> tuple[str, ...]:
    return tuple(escape_formula(one_line(text)) for text in texts)


def dumps_occurrences(case: Case, facet: str) -> str:
    """One row for each occurrence of a category, in order of start. Raises UnknownName for an unknown category."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(OCCURRENCE_COLUMNS)
    altered = ways(altered_of(case))
    for one in visits(case, facet):
        names = _names(one.concept.notation, one.concept.label())
        writer.writerow((*names, one.start, one.end, one.end - one.start, *_bounds(one.concept), altered))
    return out.getvalue()


def _cells(row: Row) -> tuple[str | int | float | None, ...]:
    return (
        *_names(row.notation, row.label),
        row.visits,
        row.timed,
        row.total,
        row.elapsed,
        row.longest,
        row.mean,
        row.median,
        row.share,
        row.operating_share,
        row.first_start,
        *_names(row.begins_when, row.ends_when),
    )


def _bounds(concept: Concept) -> tuple[str, ...]:
    return _names(*(label_in(texts, DEFAULT_LANGUAGE) for texts in (concept.begins_when, concept.ends_when)))
