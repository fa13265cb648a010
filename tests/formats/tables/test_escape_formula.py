"""No cell is run as a formula, and every cell is read back (OWASP, "CSV Injection")."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.tables.escape_formula import escape_formula, unescape_formula

cells = st.text(st.sampled_from("'=+-@\t\ra1 ") | st.characters(exclude_categories=["Cs"]), max_size=6)


@given(cells)
def test_no_cell_begins_as_a_formula_and_each_is_read_back(cell: str) -> None:
    written = escape_formula(cell)
    assert not written.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert unescape_formula(written) == cell


@pytest.mark.parametrize("cell", ["", "plain", "1 - 2", "'quoted'", "a=b", " =1"])
def test_what_is_no_formula_stays_as_it_is(cell: str) -> None:
    assert escape_formula(cell) == unescape_formula(cell) == cell


@pytest.mark.parametrize("cell", ["=1", "+1", "-1", "@a", "'=1", "''=1"])
def test_what_would_be_run_gets_one_apostrophe(cell: str) -> None:
    assert escape_formula(cell) == f"'{cell}"
