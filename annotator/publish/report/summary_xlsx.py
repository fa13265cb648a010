"""A step-duration summary as a workbook: real numbers, times as times of a day without the limit of 24 hours.

Office Open XML through XlsxWriter, https://xlsxwriter.readthedocs.io/ ; a day is 1, so a ms is 1/86,400,000.
"""

import re
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from itertools import chain, count
from typing import Any

import xlsxwriter

from annotator.measure.durations import Summary
from annotator.measure.rows import Row
from annotator.measure.within import Within
from annotator.model.place import NO_HOUR
from annotator.model.retina import field_in_words
from annotator.model.timecode import HOUR, Ms
from annotator.plain_text import capitalised, one_line
from annotator.publish.report.wording import DEFINITIONS, NO_TIME, REMINDER, bounds, film_only

_DAY: Ms = 24 * HOUR
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\]")
_LONGEST_NAME = 31
_OTHER_SHEETS = ("begins and ends", "by place", "transitions", "about", "history")
"""Those that come after the performers', and a name that spreadsheets keep for themselves."""

_HEAD = (
    *("Step", "Notation", "Occurrences", "Timed", "Net", "Elapsed", "Of operation", "Of recording"),
    *("Longest", "Mean", "Median", "First at"),
)
_WIDTHS = (34, 26, 12, 8, 12, 12, 13, 13, 12, 12, 12, 12)
_AS_TEXT = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
"""A label is text, whatever it looks like: no formula, no link, no number is made of it."""


def dumps(summary: Summary) -> bytes:
    """The workbook: durations, each performer's where asked for, time by place, transitions, and what it means."""
    out = BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True, **_AS_TEXT}) as workbook:
        title = f"Durations: {one_line(summary.case)}"[:255]
        workbook.set_properties({"title": title, "comments": REMINDER, "created": datetime.fromisoformat(NO_TIME)})
        styles = _Styles(workbook)
        rows = [*summary.rows, *filter(None, [summary.together])]
        sheet = _rows_sheet(workbook, "Durations", rows, styles)
        _rest(sheet, len(rows) + 2, summary, styles)
        if any(row.interruptions for row in rows):
            _interruptions_sheet(workbook, rows, styles)
        if summary.within is not None:
            _within_sheet(workbook, summary.within, styles)
        if any(map(bounds, summary.rows)):
            _bounds_sheet(workbook, summary.rows, styles)
        for group in summary.by_performer or ():
            _rows_sheet(workbook, _sheet_name(workbook, group.label or "not given"), group.rows, styles)
        if summary.places.fields:
            _places_sheet(workbook, summary, styles)
        _transitions(workbook, summary, styles)
        _about(workbook, summary, styles)
    return out.getvalue()


def _sheet_name(workbook: Any, label: str) -> str:
    """A label as the name of a sheet: short, without some signs and an apostrophe at either end, and none twice in any
    letter case (limits of the workbook's format, most of which the library checks).
    """
    name = _cut(capitalised(_NOT_IN_NAMES.sub(" ", one_line(label)).strip("' ")), _LONGEST_NAME) or "Performer"
    taken = {sheet.get_name().casefold() for sheet in workbook.worksheets()} | {*_OTHER_SHEETS}
    numbered = (f"{_cut(name, _LONGEST_NAME - 4)} {number}" for number in count(2))
    return next(one for one in chain([name], numbered) if one.casefold() not in taken)


def _cut(name: str, most: int) -> str:
    """The beginning of a name, its length as spreadsheets count it: in units of UTF-16."""
    return name.encode("utf-16-le")[: 2 * most].decode("utf-16-le", "ignore").strip("' ")


class _Styles:
    def __init__(self, workbook: Any) -> None:
        self.head = workbook.add_format({"bold": True, "bottom": 1})
        self.number_head = workbook.add_format({"bold": True, "bottom": 1, "align": "right"})
        self.word = workbook.add_format({"bold": True, "valign": "top"})
        self.time = workbook.add_format({"num_format": "[h]:mm:ss"})
        self.share = workbook.add_format({"num_format": "0.0%"})
        self.text = workbook.add_format({"text_wrap": True, "valign": "top"})


def _rows_sheet(workbook: Any, name: str, rows: Sequence[Row], styles: _Styles) -> Any:
    sheet = workbook.add_worksheet(name)
    for at, (title, width) in enumerate(zip(_HEAD, _WIDTHS, strict=True)):
        sheet.write_string(0, at, title, styles.head if at < 2 else styles.number_head)
        sheet.set_column(at, at, width)
    sheet.freeze_panes(1, 1)
    for line, row in enumerate(rows, start=1):
        sheet.write_string(line, 0, one_line(row.label))
        sheet.write_string(line, 1, one_line(row.notation))
        sheet.write_number(line, 2, row.visits)
        sheet.write_number(line, 3, row.timed)
        net = row.total if row.timed else None
        for at, time in ((4, net), (5, row.elapsed), (8, row.longest), (9, row.mean), (10, row.median)):
            if time is not None:
                sheet.write_number(line, at, time / _DAY, styles.time)
        for at, share in ((6, row.operating_share), (7, row.share)):
            if share is not None and row.timed:
                sheet.write_number(line, at, share, styles.share)
        sheet.write_number(line, 11, row.first_start / _DAY, styles.time)
    _for_print(sheet)
    return sheet


def _rest(sheet: Any, line: int, summary: Summary, styles: _Styles) -> None:
    """Below the rows: what no row holds."""
    times = (
        ("Untagged", summary.untagged),
        ("Under two tags at once", summary.overlap),
        ("Operating time", summary.operation and summary.operation.length),
        ("Whole case", summary.duration),
    )
    for title, time in times:
        if time is not None:
            sheet.write_string(line, 0, title)
            sheet.write_number(line, 4, time / _DAY, styles.time)
            sheet.write_number(line, 7, time / summary.duration if summary.duration else 0, styles.share)
            line += 1
    sheet.write_string(line, 0, film_only(summary), styles.word)


def _interruptions_sheet(workbook: Any, rows: Sequence[Row], styles: _Styles) -> None:
    """One row for each thing that took time between the occurrences of a step."""
    sheet = _sheet(workbook, "Interruptions", (("Step", 34), ("Interrupted by", 34), ("Time", 12)), 2, styles)
    found = [(row, one) for row in rows for one in row.interruptions]
    for line, (row, one) in enumerate(found, start=1):
        sheet.write_string(line, 0, one_line(row.label))
        sheet.write_string(line, 1, one_line(one.label))
        sheet.write_number(line, 2, one.total / _DAY, styles.time)
    _for_print(sheet)


def _bounds_sheet(workbook: Any, rows: Sequence[Row], styles: _Styles) -> None:
    """One row for each step: what is seen when it begins and when it ends."""
    sheet = _sheet(workbook, "Begins and ends", (("Step", 34), ("Begins when", 60), ("Ends when", 60)), 3, styles)
    for line, row in enumerate(rows, start=1):
        for at, text in enumerate((row.label, row.begins_when, row.ends_when)):
            sheet.write_string(line, at, one_line(text), styles.text)
    _for_print(sheet)


def _within_sheet(workbook: Any, within: Within, styles: _Styles) -> None:
    """One row for each thing that lay within a step, and one for what is left of the step."""
    heads = (("Step", 34), ("Within it", 34), ("Time", 12), ("Of step", 10), ("Marked", 10))
    sheet = _sheet(workbook, f"Within, by {within.facet}"[:31], heads, 2, styles)
    found = [(row, part) for row in within.rows for part in row.all_parts]
    for line, (row, part) in enumerate(found, start=1):
        sheet.write_string(line, 0, one_line(row.label))
        sheet.write_string(line, 1, one_line(part.label))
        sheet.write_number(line, 2, part.total / _DAY, styles.time)
        sheet.write_number(line, 3, part.share, styles.share)
        sheet.write_number(line, 4, part.marked)
    _for_print(sheet)


def _sheet(workbook: Any, name: str, heads: Sequence[tuple[str, int]], words: int, styles: _Styles) -> Any:
    """A sheet with its heads, the first `words` of them over text."""
    sheet = workbook.add_worksheet(name)
    for at, (title, width) in enumerate(heads):
        sheet.write_string(0, at, title, styles.head if at < words else styles.number_head)
        sheet.set_column(at, at, width)
    sheet.freeze_panes(1, 0)
    return sheet


def _places_sheet(workbook: Any, summary: Summary, styles: _Styles) -> None:
    """One row for each field of the chart that has time; below, the time that has any place."""
    sheet = workbook.add_worksheet("By place")
    for at, (title, width) in enumerate((("Place", 34), ("Clock hour", 12), ("Zone", 16), ("Total", 14), ("Share", 8))):
        sheet.write_string(0, at, title, styles.head if at in (0, 2) else styles.number_head)
        sheet.set_column(at, at, width)
    sheet.freeze_panes(1, 1)
    times = [(field_in_words(field), field, ms) for field, ms in summary.places.fields.items()]
    for line, (words, field, ms) in enumerate(times, start=1):
        sheet.write_string(line, 0, words)
        if field.hour != NO_HOUR:
            sheet.write_number(line, 1, field.hour)
        sheet.write_string(line, 2, field.zone)
        sheet.write_number(line, 3, ms / _DAY, styles.time)
        sheet.write_number(line, 4, ms / summary.duration if summary.duration else 0, styles.share)
    last = len(times) + 2
    sheet.write_string(last, 0, "With any place")
    sheet.write_number(last, 3, summary.places.placed / _DAY, styles.time)
    sheet.write_number(last, 4, summary.places.placed / summary.duration if summary.duration else 0, styles.share)
    _for_print(sheet)


def _transitions(workbook: Any, summary: Summary, styles: _Styles) -> None:
    sheet = _sheet(workbook, "Transitions", (("From", 34), ("To", 34), ("Times", 8)), 2, styles)
    labels = {row.notation: row.label for row in summary.rows}
    for line, change in enumerate(summary.transitions, start=1):
        sheet.write_string(line, 0, one_line(labels[change.origin]))
        sheet.write_string(line, 1, one_line(labels[change.to]))
        sheet.write_number(line, 2, change.count)
    _for_print(sheet)


def _about(workbook: Any, summary: Summary, styles: _Styles) -> None:
    sheet = workbook.add_worksheet("About")
    sheet.set_column(0, 0, 24)
    sheet.set_column(1, 1, 90)
    lines = [("Case", one_line(summary.case)), ("Category", one_line(summary.facet)), *DEFINITIONS]
    lines.append(("Please note", REMINDER))
    lines += [("About these figures", one_line(note)) for note in summary.notes]
    for line, (title, text) in enumerate(lines):
        sheet.write_string(line, 0, title, styles.word)
        sheet.write_string(line, 1, text, styles.text)
    _for_print(sheet)


def _for_print(sheet: Any) -> None:
    sheet.set_landscape()
    sheet.set_paper(9)  # A4
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
