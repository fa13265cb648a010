"""A logbook as CSV (RFC 4180)."""

import csv
import io
from collections.abc import Iterable, Sequence

from annotator.formats.tables.escape_formula import escape_formula


def dumps(rows: Iterable[Sequence[str]]) -> str:
    """The rows, the head first; a cell that a spreadsheet would run is disarmed."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(map(escape_formula, row) for row in rows)
    return out.getvalue()
