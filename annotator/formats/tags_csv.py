"""Tags as a table: one row a tag, read from what a spreadsheet saves and written so that it reads back.

Columns: `start, end, step` and, where wanted, `performer, place, certainty, note`. A row is text only
here; what the text means is settled against a case in `annotator.workflow.tag_rows`.
"""

import csv
import io
from collections.abc import Iterable

import msgspec

from annotator.errors import InvalidFile, nearest
from annotator.formats.spreadsheet import disarmed, rearmed

COLUMNS = ("start", "end", "step", "performer", "place", "certainty", "note")
REQUIRED = COLUMNS[:3]
RUNNING = "running"
"""What stands in the `end` column of a tag that is still running."""

LARGEST = 32 * 1024 * 1024
"""Bytes; a table of a million tags fits."""


class TagRow(msgspec.Struct, frozen=True):
    """One row as text. `where` says which row it was, for messages."""

    where: str
    start: str
    end: str
    step: str
    performer: str = ""
    place: str = ""
    certainty: str = ""
    note: str = ""


def loads(text: str) -> list[TagRow]:
    """Read rows separated by commas, semicolons or tabs, whichever the first line uses.

    Raises InvalidFile where the first line does not name the columns, or a row has more cells than it names.
    """
    if len(text) > LARGEST:
        raise InvalidFile("The table of tags", [f"it is larger than {LARGEST // 1024 // 1024} MB"])
    text = text.removeprefix("\ufeff")
    first_line = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=first_line.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        header = [name.strip().lower() for name in next(reader, [])]
        _check_header(header)
        rows = [(reader.line_num, cells) for cells in reader if any(cell.strip() for cell in cells)]
    except csv.Error as error:
        raise InvalidFile("The table of tags", [f"line {reader.line_num}: {error}"]) from error
    too_long = [
        f"row {line}: has {len(cells)} cells, the first line names {len(header)} columns"
        for line, cells in rows
        if len(cells) > len(header) and any(cells[len(header) :])
    ]
    if too_long:
        raise InvalidFile("The table of tags", too_long)
    return [_row(line, dict(zip(header, cells, strict=False))) for line, cells in rows]


def dumps(rows: Iterable[TagRow]) -> str:
    """Print rows under the full set of columns; a cell that a spreadsheet would run as a formula is disarmed."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows([disarmed(getattr(row, column)) for column in COLUMNS] for row in rows)
    return out.getvalue()


def _check_header(header: list[str]) -> None:
    faults = [f"the column “{name}” is missing from the first line" for name in REQUIRED if name not in header]
    for name in header:
        if name not in COLUMNS:
            close = nearest(name, COLUMNS, most=1)
            faults.append(f"there is no column “{name}”" + (f"; did you mean “{close[0]}”?" if close else ""))
        elif header.count(name) > 1:
            faults.append(f"the column “{name}” stands there more than once")
    if faults:
        faults.append(f"the columns are {', '.join(COLUMNS)}; only the first three are needed")
        raise InvalidFile("The table of tags", list(dict.fromkeys(faults)))


def _row(line: int, cells: dict[str, str]) -> TagRow:
    return TagRow(where=f"row {line}", **{name: rearmed(cells.get(name, "").strip()) for name in COLUMNS})
