"""Tags as a table: one row a tag, read from what a spreadsheet saves and written so that it reads back.

Columns: `start, end, step` and, where wanted, `performer, place, certainty, note, strength, confirmed, words`. A row is
text only here; what the text means is settled against a case in `annotator.workflow.tag_rows`.
"""

import csv
import io
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import partial

import msgspec

from annotator.errors import Gathered, InvalidFile, InvalidTime, nearest
from annotator.formats.tables.delimited import Table
from annotator.formats.tables.escape_formula import escape_formula, unescape_formula
from annotator.model.timecode import parse
from annotator.plain_text import is_control, quoted

COLUMNS = ("start", "end", "step", "performer", "place", "certainty", "note", "strength", "confirmed", "words")
REQUIRED = COLUMNS[:3]
TERM = "performer_term"
"""The column of a training body's terms: it follows from another, and is passed over on reading."""

RUNNING = "running"
"""What stands in the `end` column of a tag that is still running."""

LARGEST = 32 * 1024 * 1024
"""Bytes that are read."""

MOST_ROWS = 100_000
"""Rows of one table; an operation of a whole day has some hundreds."""


_WHAT = "The table of tags"


class TagRow(msgspec.Struct, frozen=True):
    """One row as text. `where` says which row it was, for messages, by the line in which it begins."""

    where: str
    start: str
    end: str
    step: str
    performer: str = ""
    place: str = ""
    certainty: str = ""
    note: str = ""
    strength: str = ""
    confirmed: str = ""
    words: str = ""


def loads(text: str) -> list[TagRow]:
    """Read rows separated by commas, semicolons or tabs, whichever the first line uses.

    Raises InvalidFile where the first line does not name the columns, a row has more cells than it names, or a
    quotation mark is not closed.
    """
    if len(text) > LARGEST:
        raise InvalidFile(_WHAT, [f"it is larger than {LARGEST // 1024 // 1024} MB"])
    table = Table(_WHAT, text)
    header = [name.lower() for name in table.columns]
    _check_header(header)
    starts_at, ends_at = header.index("start"), header.index("end")

    def is_row(cells: list[str]) -> bool:
        return max(starts_at, ends_at) < len(cells) and all(map(_is_time, (cells[starts_at], cells[ends_at])))

    rows: list[TagRow] = []
    faults = Gathered()
    for line, cells in table.rows(is_row):
        if any(cell.strip() for cell in cells[len(header) :]):
            faults.note(partial(_too_long, line, len(cells), len(header)))
        else:
            rows.append(_row(line, dict(zip(header, cells, strict=False))))
        if len(rows) + faults.count > MOST_ROWS:
            raise InvalidFile(_WHAT, [f"line {line}: only {MOST_ROWS:,} rows are read; split the table"])
    if faults.said:
        raise InvalidFile(_WHAT, faults.said, faults.more)
    return rows


def dumps(rows: Iterable[TagRow], separator: str = ",", terms: Mapping[str, str] | None = None) -> str:
    """Print rows under the full set of columns, without control characters.

    A cell that a spreadsheet would run as a formula is disarmed. `terms` has what a training body calls the roles, by
    their codes; then a last column says so.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=separator, lineterminator="\n")
    writer.writerow(COLUMNS if terms is None else (*COLUMNS, TERM))
    for row in rows:
        cells = [getattr(row, column) for column in COLUMNS]
        cells += [] if terms is None else [terms.get(row.performer, "")]
        writer.writerow([escape_formula(_text(cell)) for cell in cells])
    return out.getvalue()


def _check_header(header: list[str]) -> None:
    faults = Gathered()
    for name in REQUIRED:
        if name not in header:
            faults.note(partial("the column “{}” is missing from the first line".format, name))
    for name, times in Counter(header).items():
        if name not in (*COLUMNS, TERM):
            faults.note(partial(_unknown_column, name))
        elif times > 1:
            faults.note(partial("the column “{}” is there more than once".format, name))
    if faults.said:
        columns = f"the first line must name the columns: {', '.join(COLUMNS)}; only the first three are required"
        raise InvalidFile(_WHAT, [columns, *faults.said], faults.more)


def _unknown_column(name: str) -> str:
    close = nearest(name, COLUMNS, most=1)
    return f"there is no column {quoted(name)}" + (f"; did you mean {quoted(close[0])}?" if close else "")


def _too_long(line: int, cells: int, columns: int) -> str:
    return f"row {line}: has {cells} cells, but the first line names {columns} columns"


def _row(line: int, cells: dict[str, str]) -> TagRow:
    return TagRow(where=f"row {line}", **{name: unescape_formula(_text(cells.get(name, ""))) for name in COLUMNS})


def _text(cell: str) -> str:
    """A cell as text: a control character, which no text needs, is a blank; line ends and tabs stay."""
    if cell.isprintable():  # as nearly all are, and then no character of it is one
        return cell.strip()
    return "".join(" " if is_control(one) and one not in "\n\t" else one for one in cell).strip()


def _is_time(cell: str) -> bool:
    try:
        return parse(cell) >= 0
    except InvalidTime:
        return False
