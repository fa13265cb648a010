"""Tables for statisticians: one row for one thing, plain names, whole milliseconds, and a dictionary of the columns.

As CSV (RFC 4180) and as Parquet, which needs the library pyarrow.
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Final, Literal, NamedTuple

from annotator.errors import AnnotatorError
from annotator.formats.tables.escape_formula import escape_formula

Cell = str | int | float | bool | None
Type = Literal["text", "whole number", "number", "yes or no"]

_ARROW: Final = {"text": "string", "whole number": "int64", "number": "float64", "yes or no": "bool"}


class Column(NamedTuple):
    """A column: its name, what stands in it, the unit, and what it means."""

    name: str
    type: Type
    unit: str
    means: str


class Tidy(NamedTuple):
    """A table: its name in the dictionary, its columns, and rows with a cell for each; None is a cell without value."""

    name: str
    columns: Sequence[Column]
    rows: Sequence[Sequence[Cell]]


DICTIONARY: Final = (
    Column("table", "text", "", "the table"),
    Column("column", "text", "", "a column of it"),
    Column("type", "text", "", "what stands in it: text, whole number, number, yes or no"),
    Column("unit", "text", "", "the unit, where it has one"),
    Column("meaning", "text", "", "what it means"),
)


def dictionary(tables: Iterable[Tidy]) -> Tidy:
    """What every column of the tables means, as a table."""
    rows = [(table.name, one.name, one.type, one.unit, one.means) for table in tables for one in table.columns]
    return Tidy("dictionary", DICTIONARY, rows)


def to_csv(table: Tidy) -> bytes:
    """UTF-8, `true` and `false`, an empty cell for no value; a text that a spreadsheet would run is disarmed."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([column.name for column in table.columns])
    writer.writerows([_as_text(cell) for cell in row] for row in table.rows)
    return out.getvalue().encode()


def to_parquet(table: Tidy) -> bytes:
    """The same with types. Raises AnnotatorError where pyarrow is missing."""
    try:
        import pyarrow as arrow
        from pyarrow import parquet
    except ImportError as error:
        raise AnnotatorError(
            'A Parquet file needs the library pyarrow: pip install "surgical-step-annotator[tables]", '
            "or name a file that ends in .csv"
        ) from error
    schema = arrow.schema([(column.name, _ARROW[column.type]) for column in table.columns])
    named = [column.name for column in table.columns]
    cells: Mapping[str, list[Cell]] = {name: [row[at] for row in table.rows] for at, name in enumerate(named)}
    out = io.BytesIO()
    parquet.write_table(arrow.table(cells, schema=schema), out)
    return out.getvalue()


def _as_text(cell: Cell) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return "true" if cell else "false"
        case str():
            return escape_formula(cell)
        case _:
            return repr(cell)
