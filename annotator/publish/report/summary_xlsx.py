"""A step-duration summary as a workbook: real numbers, times as times of a day without the limit of 24 hours.

Office Open XML through XlsxWriter, https://xlsxwriter.readthedocs.io/ ; a day is 1, so a ms is 1/86,400,000.
"""

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import Any

import xlsxwriter

from annotator.measure.durations import Row, Summary
from annotator.model.retina import field_in_words
from annotator.model.timecode import HOUR, Ms
from annotator.plain_text import one_line
from annotator.publish.report.wording import DEFINITIONS, NO_TIME, REMINDER

_DAY: Ms = 24 * HOUR
_HEAD = ("Step", "Notation", "Occurrences", "Total", "Share", "Longest", "Mean", "Median", "First at")
_WIDTHS = (34, 26, 12, 14, 8, 14, 14, 14, 14)
_AS_TEXT = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
"""A label is text, whatever it looks like: no formula, no link, no number is made of it."""


def dumps(summary: Summary) -> bytes:
    """The workbook: durations, each performer's where asked for, time by place, transitions, and what it means."""
    out = BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True, **_AS_TEXT}) as workbook:
        title = f"Durations: {one_line(summary.case)}"[:255]
        workbook.set_properties({"title": title, "comments": REMINDER, "created": datetime.fromisoformat(NO_TIME)})
        styles = _Styles(workbook)
        sheet = _rows_sheet(workbook, "Durations", summary.rows, styles)
        _rest(sheet, len(summary.rows) + 2, summary, styles)
        for group in summary.by_performer or ():
            _rows_sheet(workbook, str(group.performer or "not given").capitalize(), group.rows, styles)
        if summary.places.fields:
            _places_sheet(workbook, summary, styles)
        _transitions(workbook, summary, styles)
        _about(workbook, summary, styles)
    return out.getvalue()


class _Styles:
    def __init__(self, workbook: Any) -> None:
        self.head = workbook.add_format({"bold": True, "bottom": 1})
        self.number_head = workbook.add_format({"bold": True, "bottom": 1, "align": "right"})
        self.word = workbook.add_format({"bold": True, "valign": "top"})
        self.time = workbook.add_format({"num_format": "[h]:mm:ss.000"})
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
        sheet.write_number(line, 3, row.total / _DAY, styles.time)
        sheet.write_number(line, 4, row.share, styles.share)
        for at, time in enumerate((row.longest, row.mean, row.median, row.first_start), start=5):
            sheet.write_number(line, at, time / _DAY, styles.time)
    _for_print(sheet)
    return sheet


def _rest(sheet: Any, line: int, summary: Summary, styles: _Styles) -> None:
    """Below the rows: what no row holds."""
    for title, time in (
        ("Untagged", summary.untagged),
        ("Under two tags at once", summary.overlap),
        ("Whole case", summary.duration),
    ):
        sheet.write_string(line, 0, title)
        sheet.write_number(line, 3, time / _DAY, styles.time)
        sheet.write_number(line, 4, time / summary.duration if summary.duration else 0, styles.share)
        line += 1


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
    sheet = workbook.add_worksheet("Transitions")
    labels = {row.notation: row.label for row in summary.rows}
    for at, (title, width) in enumerate((("From", 34), ("To", 34), ("Times", 8))):
        sheet.write_string(0, at, title, styles.head if at < 2 else styles.number_head)
        sheet.set_column(at, at, width)
    sheet.freeze_panes(1, 0)
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
