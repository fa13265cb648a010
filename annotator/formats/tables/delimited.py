"""Tables as spreadsheets save them: a first line that names the columns, cells separated by commas, semicolons or tabs.

Read strictly (RFC 4180, section 2): a quotation mark that is not closed would make one cell of all the rows behind it.
"""

import csv
import io
import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from annotator.errors import InvalidFile

_SEPARATOR = re.compile(r'"?sep=([,;\t|])"?(?:\r\n|\r|\n|\Z)', re.IGNORECASE)
"""A line with which some spreadsheets say what separates the cells (common practice, no source)."""

_LINE_END = re.compile(r"\r\n|\r|\n")


class Row(NamedTuple):
    """One row: the line of the text in which it begins, from 1, and its cells."""

    line: int
    cells: list[str]


IsRow = Callable[[list[str]], bool]
"""Whether the cells of a line look like a whole row."""


class Table:
    """A table as its first line describes it; `columns` has the names in it."""

    def __init__(self, what: str, text: str) -> None:
        """Raises InvalidFile, in whose message `what` says what is read."""
        self._what = what
        text = text.removeprefix("\ufeff")
        said = _SEPARATOR.match(text)
        body = text[said.end() :] if said else text
        first = _LINE_END.split(body, maxsplit=1)[0]
        self.delimiter = said[1] if said else max(",;\t", key=first.count)
        self._lines_above = 1 if said else 0
        self._taken: list[str] = []
        self._reader = csv.reader(self._noted(io.StringIO(body, newline="")), delimiter=self.delimiter, strict=True)
        names = self._next()
        self.columns = [name.strip() for name in names.cells] if names else []
        while self.columns and not self.columns[-1]:
            self.columns.pop()

    def rows(self, is_row: IsRow) -> Iterator[Row]:
        """The rows behind the first line, without the empty ones.

        Raises InvalidFile where quotation marks are not closed, also where a later one closes them by chance:
        then lines for which `is_row` holds stand within one cell.
        """
        while (row := self._next()) is not None:
            if not any(cell.strip() for cell in row.cells):
                continue
            if len(self._taken) > 1:
                self._refuse_swallowed(row, is_row)
                # A spreadsheet ends lines inside a cell as the system does.
                row = Row(row.line, [_LINE_END.sub("\n", cell) for cell in row.cells])
            yield row

    def _noted(self, lines: Iterator[str]) -> Iterator[str]:
        for line in lines:
            self._taken.append(line)
            yield line

    def _next(self) -> Row | None:
        line = self._lines_above + self._reader.line_num + 1
        self._taken.clear()
        try:
            cells = next(self._reader, None)
        except csv.Error as error:
            raise InvalidFile(self._what, [self._said(line, error)]) from error
        return None if cells is None else Row(line, cells)

    def _said(self, line: int, error: csv.Error) -> str:
        """The library's complaint about the row that begins in `line`, in words for whoever made the table."""
        opened = line + _last_opened(self._taken)
        reached = self._lines_above + self._reader.line_num
        if "field larger" in str(error):
            most = csv.field_size_limit()
            return f'line {opened}: a cell starts there with more than {most:,} characters; is a " not closed?'
        if "end of data" in str(error):
            return f'line {opened}: a quotation mark (") is opened there and never closed; close it or remove it'
        if "expected after" not in str(error):
            return f"line {reached}: {error}"
        if line < reached:
            return (
                f'line {line}: a quotation mark (") is opened there and not closed before line {reached}; close it, '
                "and double one that belongs to the text"
            )
        return f'line {line}: text follows a closing quotation mark ("); double one that belongs to the text'

    def _refuse_swallowed(self, row: Row, is_row: IsRow) -> None:
        for number, text in enumerate(self._taken[1:], start=row.line + 1):
            if is_row(text.rstrip("\r\n").split(self.delimiter)):
                raise InvalidFile(
                    self._what,
                    [
                        f'line {row.line}: a quotation mark (") is opened there and not closed: line {number}, which '
                        "looks like a row, would be part of one cell; close it, or take it out"
                    ],
                )


def _last_opened(lines: list[str]) -> int:
    """In which of the lines of a row, from 0, the quotation mark was opened that the row ends within."""
    opened, is_inside = 0, False
    for index, line in enumerate(lines):
        for _ in range(line.replace('""', "").count('"')):
            is_inside = not is_inside
            opened = index if is_inside else opened
    return opened
