"""The scores of a case: a table with the columns `sheet`, `rater`, `item` and `score`, one row for each score."""

import csv
import io
from collections.abc import Sequence
from functools import partial

from annotator.errors import Gathered, InvalidEdit, InvalidFile, UnknownName
from annotator.formats.tables.delimited import Table
from annotator.formats.tables.escape_formula import unescape_formula
from annotator.model.sheet import NOT_DONE, Score, Sheet
from annotator.plain_text import one_line, quoted

MOST_ROWS = 2_000

_WHAT = "The table of scores"
_COLUMNS = ["sheet", "rater", "item", "score"]


def dumps(sheet: Sheet, scores: Sequence[Score]) -> str:
    """The table, by rater and item in the order of the sheet."""
    pairs = [(rater.code, item.code) for rater in sheet.raters for item in sheet.items]
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(_COLUMNS)
    for one in sorted(scores, key=lambda one: pairs.index((one.rater, one.item))):
        table.writerow([sheet.code, one.rater, one.item, NOT_DONE if one.score is None else one.score])
    return out.getvalue()


def loads(text: str, sheet: Sheet) -> tuple[Score, ...]:
    """The scores that a table holds. Raises InvalidFile with every fault: another sheet's scores, raters, items and
    scores that the sheet lacks, and two scores of one rater for one item.
    """
    table = Table(_WHAT, text)
    if [name.lower() for name in table.columns] != _COLUMNS:
        raise InvalidFile(_WHAT, ["the first line must name the columns: sheet, rater, item, score"])
    found: dict[tuple[str, str], Score] = {}
    faults = Gathered()
    for count, (line, cells) in enumerate(table.rows(lambda cells: len(cells) == len(_COLUMNS))):
        if count == MOST_ROWS:
            raise InvalidFile(_WHAT, [f"line {line}: only {MOST_ROWS:,} rows are read"])
        if fault := _take(cells, sheet, found):
            faults.note(partial("row {}: {}".format, line, fault))
    if faults.said:
        raise InvalidFile(_WHAT, faults.said, faults.more)
    return tuple(found.values())


def _take(cells: list[str], sheet: Sheet, found: dict[tuple[str, str], Score]) -> str:
    """Put the score of a row in; returns what is wrong with the row."""
    said = [one_line(unescape_formula(cell)).strip() for cell in cells]
    if len(said) != len(_COLUMNS):
        return f"has {len(said)} cells, and the columns are {len(_COLUMNS)}"
    code, rater, item, score = said
    if code != sheet.code:
        return f"is of the score sheet {quoted(code)}, and this is {quoted(sheet.code)}; name that sheet’s file"
    try:
        one = sheet.meant(rater, item, score)
    except (InvalidEdit, UnknownName) as error:
        return str(error)
    if (one.rater, one.item) in found:
        return f"{quoted(one.rater)} has scored {quoted(one.item)} already"
    found[one.rater, one.item] = one
    return ""
