"""A step-duration summary as a plain-text table for a terminal."""

import unicodedata
from collections.abc import Iterable, Sequence
from itertools import accumulate

from annotator.measure.durations import Summary
from annotator.measure.rows import Row
from annotator.measure.within import Within
from annotator.model.retina import field_in_words
from annotator.plain_text import one_line
from annotator.publish.report.wording import counted, film_only, inside, interrupted, length, operating, percent, time

_HEAD = ("", "count", "net", "elapsed", "operation", "recording", "longest", "mean", "median", "first at")


def dumps(summary: Summary, width: int = 100) -> str:
    """The table, no line wider than `width` columns as long as there is room for names at all."""
    lines = [
        f"{one_line(summary.case)} · {summary.facet}",
        f"recording {length(summary.duration)} · operating time {operating(summary)}",
        *filter(None, [film_only(summary)]),
        "",
        *_table([*summary.rows, *filter(None, [summary.together])], width),
    ]
    lines += _interruptions(summary.rows)
    if summary.within is not None:
        lines += ["", f"within each, by {summary.within.facet}", *_within(summary.within)]
    for group in summary.by_performer or ():
        lines += ["", one_line(group.label) or "performer not given", *_table(group.rows, width)]
    if summary.places.fields:
        lines += ["", "by place on the retina", *_places(summary)]
    if summary.untagged is not None and summary.overlap is not None:
        lines += ["", f"untagged {length(summary.untagged)} · under two tags at once {length(summary.overlap)}"]
    return "\n".join(lines) + "\n"


def aligned(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Rows under a head, every column as wide as its widest cell; blanks before a cell indent it."""
    cells = [tuple(map(_one_line_indented, row)) for row in (head, *rows)]
    widths = [max(columns(row[at]) for row in cells) for at in range(len(head))]
    return "".join("  ".join(map(_left, row, widths)).rstrip() + "\n" for row in cells)


def _one_line_indented(cell: str) -> str:
    return " " * (len(cell) - len(cell.lstrip(" "))) + one_line(cell)


def _table(rows: Sequence[Row], width: int) -> list[str]:
    cells = [_HEAD, *map(_cells, rows)]
    widths = [max(columns(row[at]) for row in cells) for at in range(len(_HEAD))]
    others = sum(widths[1:]) + 2 * (len(widths) - 1)
    widths[0] = max(12, min(widths[0], width - others))
    return ["  ".join([_left(row[0], widths[0]), *map(_right, row[1:], widths[1:])]).rstrip() for row in cells]


def _interruptions(rows: Sequence[Row]) -> list[str]:
    said = [f"{one_line(row.label)} was interrupted by {interrupted(row)}" for row in rows if row.interruptions]
    return ["", *said] if said else []


def _within(within: Within) -> list[str]:
    """A line for each step that anything lay within; what is left of the step stands last."""
    lines = [
        f"{one_line(row.label)} {length(row.total)}: {', '.join(map(inside, row.all_parts))}"
        for row in within.rows
        if row.parts
    ]
    return lines or ["nothing"]


def _places(summary: Summary) -> list[str]:
    """Name and time of each field; a tag over several fields counts in each of them."""
    cells = [(field_in_words(field), length(ms)) for field, ms in summary.places.fields.items()]
    cells.append(("any place", length(summary.places.placed)))
    widths = [max(columns(row[at]) for row in cells) for at in range(2)]
    return [f"{_left(name, widths[0])}  {_right(time, widths[1])}" for name, time in cells]


def _cells(row: Row) -> tuple[str, ...]:
    return (
        one_line(row.label),
        counted(row),
        time(row.total if row.timed else None),
        time(row.elapsed),
        *(percent(share if row.timed else None) for share in (row.operating_share, row.share)),
        *map(time, (row.longest, row.mean, row.median)),
        length(row.first_start),
    )


def columns(text: str) -> int:
    """Columns that a terminal gives a text: two for wide characters (Unicode Standard Annex 11), none for marks."""
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in ("Cf", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def _left(text: str, width: int) -> str:
    if columns(text) > width:
        reached = accumulate(map(_columns, text))
        text = "".join(one for one, end in zip(text, reached, strict=True) if end < width) + "…"
    return text + " " * (width - columns(text))


def _right(text: str, width: int) -> str:
    return " " * (width - columns(text)) + text
