"""A step-duration summary as CSV: one row for each concept, integers in ms. Columns: docs/measures.md.

UTF-8 without a byte order mark, which programs would take for a part of the first column's name; for a
spreadsheet there is the workbook. Untagged time and transitions are in the other formats.
"""

import csv
from io import StringIO

from annotator.formats.one_line import one_line
from annotator.formats.spreadsheet import disarmed
from annotator.measure.durations import Row, Summary

COLUMNS = (
    "notation",
    "label",
    "visits",
    "total_ms",
    "longest_ms",
    "mean_ms",
    "median_ms",
    "share",
    "first_start_ms",
)


def dumps(summary: Summary) -> str:
    """The rows under a header; by performer a first column says whose, empty for all together."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if summary.by_performer is None:
        writer.writerow(COLUMNS)
        writer.writerows(map(_cells, summary.rows))
    else:
        writer.writerow(("performer", *COLUMNS))
        writer.writerows(("", *_cells(row)) for row in summary.rows)
        for group in summary.by_performer:
            writer.writerows((group.performer or "not said", *_cells(row)) for row in group.rows)
    return out.getvalue()


def _cells(row: Row) -> tuple[str | int | float, ...]:
    return (
        disarmed(one_line(row.notation)),
        disarmed(one_line(row.label)),
        row.visits,
        row.total,
        row.longest,
        row.mean,
        row.median,
        row.share,
        row.first_start,
    )
