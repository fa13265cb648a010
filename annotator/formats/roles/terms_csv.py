"""What a training body calls the roles: a table with the columns `role` and `term`, one row for each role."""

from collections.abc import Mapping
from functools import partial

from annotator.errors import Gathered, InvalidFile, UnknownName
from annotator.formats.faults import LONGEST_NAME
from annotator.formats.tables.delimited import Table
from annotator.formats.tables.escape_formula import unescape_formula
from annotator.model.roles import Roles
from annotator.plain_text import one_line, quoted

LARGEST = 100_000
"""Characters that are read."""

MOST_ROWS = 1_000

_WHAT = "The table of a training body's terms"
_COLUMNS = ["role", "term"]


def loads(text: str, roles: Roles) -> Mapping[str, str]:
    """By the code of a role its term; two roles may share one. Roles without a row have none.

    Raises InvalidFile with every fault: columns that are missing, roles that are not in the list, or that have two
    terms.
    """
    if len(text) > LARGEST:
        raise InvalidFile(_WHAT, [f"{len(text):,} characters are more than the {LARGEST:,} that are read"])
    table = Table(_WHAT, text)
    if [name.lower() for name in table.columns] != _COLUMNS:
        raise InvalidFile(_WHAT, ["the first line must name the columns: role, term"])
    terms: dict[str, str] = {}
    faults = Gathered()
    for count, (line, cells) in enumerate(table.rows(lambda cells: len(cells) == len(_COLUMNS))):
        if count == MOST_ROWS:
            raise InvalidFile(_WHAT, [f"line {line}: only {MOST_ROWS:,} rows are read"])
        fault = _take(cells, roles, terms)
        if fault:
            faults.note(partial("row {}: {}".format, line, fault))
    if faults.said:
        raise InvalidFile(_WHAT, faults.said, faults.more)
    return terms


def _take(cells: list[str], roles: Roles, terms: dict[str, str]) -> str:
    """Put the term of a row in; returns what is wrong with the row."""
    role, term, *more = [*(one_line(unescape_formula(cell)).strip() for cell in cells), "", ""]
    if any(more):
        return "has more cells than the two columns role and term"
    if not term or len(term) > LONGEST_NAME:
        return f"the term is empty or longer than {LONGEST_NAME} characters"
    try:
        code = roles.meant(role).code
    except UnknownName as error:
        return str(error)
    if terms.setdefault(code, term) != term:
        return f"{quoted(code)} has the term {quoted(terms[code])} already"
    return ""
