"""Tables as spreadsheets save them, against the standard library's writer, and what is said of broken ones."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.tables.delimited import Row, Table

cells = st.text(st.sampled_from('ab ,;\t|"\n1é'), max_size=6)


def never(_cells: list[str]) -> bool:
    return False


def rows_of(text: str) -> list[Row]:
    return list(Table("The table", text).rows(never))


def fault_in(text: str) -> str:
    with pytest.raises(InvalidFile) as refused:
        rows_of(text)
    (fault,) = refused.value.faults
    assert refused.value.what == "The table"
    return fault


@given(
    st.sampled_from(",;\t"),
    st.lists(st.lists(cells, min_size=2, max_size=2), max_size=5),
    st.sampled_from(["\n", "\r\n"]),
)
def test_what_a_spreadsheet_writes_is_read(delimiter: str, table: list[list[str]], end: str) -> None:
    """RFC 4180: cells with a separator, a quotation mark or a line end stand in quotation marks."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows([["one", "two"], *table])
    read = Table("The table", out.getvalue())
    assert (read.delimiter, read.columns) == (delimiter, ["one", "two"])
    assert [row.cells for row in read.rows(never)] == [row for row in table if any(map(str.strip, row))]


@given(st.lists(st.lists(cells, min_size=2, max_size=2), max_size=5))
def test_a_row_is_known_by_the_line_in_which_it_begins(table: list[list[str]]) -> None:
    """As an editor counts them: a cell may hold further lines."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["one", "two"])
    begins = []
    for row in table:
        begins.append(out.getvalue().count("\n") + 1)
        writer.writerow(row)
    filled = [line for line, row in zip(begins, table, strict=True) if any(map(str.strip, row))]
    assert [row.line for row in rows_of(out.getvalue())] == filled


@pytest.mark.parametrize("said", ["sep=;\n", '"sep=;"\r\n', "SEP=;\r"])
def test_a_first_line_may_say_what_separates_the_cells(said: str) -> None:
    table = Table("The table", f"{said}a,b;c\n1;2\n")
    assert (table.delimiter, table.columns) == (";", ["a,b", "c"])
    assert list(table.rows(never)) == [Row(3, ["1", "2"])]


def test_a_bar_separates_only_where_that_is_said() -> None:
    assert Table("The table", "sep=|\na|b\n").columns == ["a", "b"]
    assert Table("The table", "a|b\n").columns == ["a|b"]


def test_what_the_first_line_uses_most_separates_the_cells() -> None:
    assert Table("The table", "a;b;c,d\n").columns == ["a", "b", "c,d"]
    assert Table("The table", "a\n1,2;3\n").columns == ["a"]


def test_a_mark_of_the_encoding_and_blanks_around_names_say_nothing() -> None:
    assert Table("The table", "\ufeffstart , end\n").columns == ["start", "end"]


@pytest.mark.parametrize(
    ("text", "names"), [("a,b,,\n", ["a", "b"]), ("a,,b\n", ["a", "", "b"]), (",,\n", []), ("", [])]
)
def test_columns_without_a_name_at_the_end_are_none(text: str, names: list[str]) -> None:
    assert Table("The table", text).columns == names


def test_line_ends_within_a_cell_are_those_of_text() -> None:
    assert rows_of('a,b\r\n"1\r\n2\r3",x\r\n') == [Row(2, ["1\n2\n3", "x"])]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('a,b\n1,"2\n3,4\n', 'line 2: a quotation mark (") is opened there and never closed'),
        ('a,b\n1,"2"\n"3,4\n5,6\n', 'line 3: a quotation mark (") is opened there and never closed'),
        ('sep=,\na,b\n1,"2\n', 'line 3: a quotation mark (") is opened there and never closed'),
        ('a,b\n1,"2"x\n', 'line 2: text follows a closing quotation mark (")'),
        ('a,b\n1,"2\n3"x\n', 'line 2: a quotation mark (") is opened there and not closed before line 3'),
        ('a,b\n"x\ny","2\n', 'line 3: a quotation mark (") is opened there and never closed'),
        (f'a,b\n1,"{"x" * 131_073}"\n', "line 2: a cell starts there with more than 131,072 characters"),
    ],
)
def test_a_quotation_mark_that_is_not_closed_is_said_with_its_line(text: str, says: str) -> None:
    assert fault_in(text).startswith(says)


def test_rows_that_a_later_quotation_mark_would_swallow_are_not_lost() -> None:
    def is_row(found: list[str]) -> bool:
        return found[0].isdigit()

    text = 'a,b\n1,"2\n3,4\n5,6"\n7,8\n'
    with pytest.raises(InvalidFile) as refused:
        list(Table("The table", text).rows(is_row))
    (fault,) = refused.value.faults
    assert fault.startswith(
        'line 2: a quotation mark (") is opened there and not closed: line 3, which looks like a row'
    )
    assert [row.cells for row in Table("The table", text).rows(never)] == [["1", "2\n3,4\n5,6"], ["7", "8"]]
