"""Times of other groups as a table, one row a step and group, with what begins and ends it and where that is from.

Columns: `step, n, begins, ends, source`, `median` or `mean`, and where wanted `group, time, lower_quartile,
upper_quartile, sd`. Times are seconds, M:SS or H:MM:SS. A row that does not say what it rests on is refused: without
that, two times can't be compared.
"""

from collections import Counter
from collections.abc import Mapping
from functools import partial

from annotator.errors import AmbiguousName, Gathered, InvalidFile, InvalidTime, UnknownName, nearest
from annotator.formats.faults import LONGEST_NAME
from annotator.formats.tables.delimited import Table
from annotator.formats.tables.escape_formula import unescape_formula
from annotator.model.reference import OPERATION, Measured, Reference
from annotator.model.timecode import Ms, parse
from annotator.model.vocabulary import Vocabulary
from annotator.plain_text import one_line, quoted

LARGEST = 1_000_000
"""Characters that are read."""

MOST_ROWS = 1_000

MOST_CASES = 1_000_000
"""In one group; a larger number is a slip of the pen."""

REQUIRED = ("step", "n", "begins", "ends", "source")
_TIMES = ("median", "mean", "lower_quartile", "upper_quartile", "sd")
COLUMNS = (*REQUIRED, "group", "time", *_TIMES)

_WHAT = "The table of reference times"
_NEEDED = {
    "n": "say of how many cases it is",
    "begins": "say what begins the step there",
    "ends": "say what ends the step there",
    "source": "say where the times are from",
}


class _Refused(Exception):
    """What is wrong with a row."""


def loads(text: str, vocabulary: Vocabulary) -> tuple[Reference, ...]:
    """The rows, their steps as the vocabulary calls them, in the order of the table.

    Raises InvalidFile with every fault and its line: columns that are missing or unknown, steps that the vocabulary
    lacks, rows that do not say n, begin rule, end rule or source, what is no time.
    """
    if len(text) > LARGEST:
        raise InvalidFile(_WHAT, [f"{len(text):,} characters are more than the {LARGEST:,} that are read"])
    table = Table(_WHAT, text)
    header = [name.lower() for name in table.columns]
    _check_header(header)
    faults = Gathered()
    found: list[Reference] = []
    for count, (line, cells) in enumerate(table.rows(lambda cells: len(cells) == len(header))):
        if count == MOST_ROWS:
            raise InvalidFile(_WHAT, [f"line {line}: only {MOST_ROWS:,} rows are read"])
        try:
            found.append(_reference(header, cells, vocabulary))
        except _Refused as fault:
            faults.note(partial("line {}: {}".format, line, fault))
    if faults.said:
        raise InvalidFile(_WHAT, faults.said, faults.more)
    if not found:
        raise InvalidFile(_WHAT, ["there is no row below the first line"])
    return tuple(found)


def _check_header(header: list[str]) -> None:
    faults = Gathered()
    for name in REQUIRED:
        if name not in header:
            faults.note(partial("the column “{}” is missing from the first line".format, name))
    if not {"median", "mean"}.intersection(header):
        faults.note(lambda: "the first line names neither “median” nor “mean”")
    for name, times in Counter(header).items():
        if name not in COLUMNS:
            close = nearest(name, COLUMNS, most=1)
            hint = f"; did you mean {quoted(close[0])}?" if close else ""
            faults.note(partial("there is no column {}{}".format, quoted(name), hint))
        elif times > 1:
            faults.note(partial("the column “{}” is there more than once".format, name))
    if faults.said:
        columns = f"the first line must name the columns: {', '.join(REQUIRED)}, and median or mean"
        raise InvalidFile(_WHAT, [columns, *faults.said], faults.more)


def _reference(header: list[str], cells: list[str], vocabulary: Vocabulary) -> Reference:
    """Raises _Refused."""
    if any(cell.strip() for cell in cells[len(header) :]):
        raise _Refused(f"there are {len(cells)} cells, but the first line names {len(header)} columns")
    row = dict.fromkeys(COLUMNS, "") | {
        name: one_line(unescape_formula(cell)).strip() for name, cell in zip(header, cells, strict=False)
    }
    for name, what in _NEEDED.items():
        if not row[name]:
            raise _Refused(f"“{name}” is empty; {what}")
    long = next((name for name in ("group", "begins", "ends", "source") if len(row[name]) > 5 * LONGEST_NAME), None)
    if long:
        raise _Refused(f"“{long}” is longer than {5 * LONGEST_NAME} characters")
    times = {name: _time(name, row[name]) for name in _TIMES}
    if times["median"] is None and times["mean"] is None:
        raise _Refused("there is neither a median nor a mean")
    _check_quartiles(times)
    return Reference(
        step=_step(row["step"], vocabulary),
        group=row["group"],
        n=_count(row["n"]),
        measured=_measured(row["time"]),
        begins=row["begins"],
        ends=row["ends"],
        source=row["source"],
        median=times["median"],
        lower_quartile=times["lower_quartile"],
        upper_quartile=times["upper_quartile"],
        mean=times["mean"],
        deviation=times["sd"],
    )


def _check_quartiles(times: Mapping[str, Ms | None]) -> None:
    lower, middle, upper = (times[name] for name in ("lower_quartile", "median", "upper_quartile"))
    if (lower is None) != (upper is None):
        raise _Refused("there is one quartile without the other")
    in_order = [one for one in (lower, middle, upper) if one is not None]
    if in_order != sorted(in_order):
        raise _Refused("the quartiles and the median are not in order")


def _step(name: str, vocabulary: Vocabulary) -> str:
    if name.casefold() == OPERATION:
        return OPERATION
    try:
        return vocabulary.match(name, "step").notation
    except (UnknownName, AmbiguousName) as error:
        raise _Refused(f"{error}; for the whole operation write “{OPERATION}”") from error


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 10 and 0 < int(text) <= MOST_CASES):
        raise _Refused(f"{quoted(text)} is not a number of cases; write a whole number, such as 25")
    return int(text)


def _measured(text: str) -> Measured:
    """Where nothing is said, elapsed: from what begins a step to what ends it."""
    try:
        return Measured(text.casefold() or Measured.ELAPSED)
    except ValueError:
        raise _Refused(f"{quoted(text)} is not a kind of time; write net or elapsed") from None


def _time(column: str, text: str) -> Ms | None:
    if not text:
        return None
    try:
        return parse(text)
    except InvalidTime as error:
        raise _Refused(f"{column}: {error}") from error
