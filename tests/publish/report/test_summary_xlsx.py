"""The workbook, read back by openpyxl, and by LibreOffice where it is installed."""

import csv
import datetime
import shutil
import subprocess
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import openpyxl
import pytest

from annotator.measure.durations import summarise
from annotator.model.timecode import Ms
from annotator.plain_text import one_line
from annotator.publish.report.summary_xlsx import dumps
from tests.measure.cases import case, tag
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, HARMFUL, MODEL_EYE, PLACED, harmful, saying_when
from tests.running import PATIENCE

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")


def workbook(data: bytes) -> Any:
    return openpyxl.load_workbook(BytesIO(data))


def ms(cell: Any) -> Ms:
    """A time cell in ms: openpyxl gives a time or, from a day on, a span."""
    value = cell.value
    if isinstance(value, datetime.time):
        value = datetime.timedelta(
            hours=value.hour, minutes=value.minute, seconds=value.second, microseconds=value.microsecond
        )
    if isinstance(value, datetime.timedelta):
        return round(value / datetime.timedelta(milliseconds=1))
    assert value == 0
    return 0


def test_it_does_not_say_when_it_was_written() -> None:
    data = dumps(summarise(MODEL_EYE))
    properties = workbook(data).properties
    assert properties.created == properties.modified == datetime.datetime(1980, 1, 1)
    with ZipFile(BytesIO(data)) as parts:
        assert {part.date_time[:3] for part in parts.infolist()} == {(1980, 1, 1)}
    assert (properties.creator or "", properties.lastModifiedBy or "") == ("", "")


def test_numbers_are_numbers_and_times_are_times() -> None:
    sheet = workbook(dumps(summarise(MODEL_EYE)))["Durations"]
    head = [cell.value for cell in sheet[1]]
    assert head == [
        *("Step", "Notation", "Occurrences", "Timed", "Net", "Elapsed", "Of operation", "Of recording"),
        *("Longest", "Mean", "Median", "First at"),
    ]
    core = dict(zip(head, sheet[3], strict=True))
    assert [core[name].value for name in head[:4]] == ["Core vitrectomy", "core", 2, 2]
    assert (core["Of operation"].value, core["Of recording"].value) == (0.45, 0.45)
    assert [ms(core[name]) for name in head[4:6] + head[8:]] == [45_000, 75_000, 40_000, 22_500, 22_500, 10_000]
    assert core["Net"].number_format == "[h]:mm:ss"
    assert core["Of recording"].number_format == "0.0%"
    assert [cell.value for cell in sheet[2][8:11]] == [None, None, None], "of one occurrence there is no mean"
    assert {cell.data_type for cell in sheet[3][2:]} <= {"n", "d"}
    assert sheet.freeze_panes == "B2"
    assert sheet.column_dimensions["A"].width > 30


def test_what_no_row_holds_stands_below() -> None:
    sheet = workbook(dumps(summarise(MODEL_EYE)))["Durations"]
    below = {row[0].value: (ms(row[4]), row[7].value) for row in sheet.iter_rows(min_row=7) if row[0].value}
    assert below == {
        "Untagged": (15_000, 0.15),
        "Under two tags at once": (5_000, 0.05),
        "Operating time": (100_000, 1),
        "Whole case": (100_000, 1),
    }


def test_a_time_past_a_day_is_still_a_time() -> None:
    day = 24 * 3_600_000
    sheet = workbook(dumps(summarise(case(tag("core", 0, day + 1_001), duration=2 * day))))["Durations"]
    assert ms(sheet["E2"]) == day + 1_001


def test_sheets_for_performers_transitions_and_meaning() -> None:
    book = workbook(dumps(summarise(MODEL_EYE, by_performer=True)))
    assert book.sheetnames == [
        *("Durations", "Interruptions", "Teacher", "Trainee", "Not given", "Transitions", "About"),
    ]
    assert [cell.value for cell in book["Interruptions"][2]][:2] == ["Core vitrectomy", "Base shaving"]
    assert [cell.value for cell in book["Transitions"][2]] == [
        "Port placement",
        "Core vitrectomy",
        1,
    ]
    about = {row[0].value: row[1].value for row in book["About"].iter_rows()}
    assert about["Case"] == "Model eye (invented)"
    assert "Not a clinical record" in about["Please note"]


def test_what_lay_within_each_step_has_a_sheet_where_it_was_asked_for() -> None:
    sheet = workbook(dumps(summarise(MODEL_EYE, within="technique")))["Within, by technique"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2)]
    assert [(row[0], row[1], round(row[3], 3), row[4]) for row in rows] == [
        ("Core vitrectomy", "Bimanual", 0.667, 0),
        ("Core vitrectomy", "None of them", 0.333, 0),
        ("Base shaving", "Bimanual", 0.6, 0),
        ("Base shaving", "Lift and shave", 0.08, 0),
        ("Base shaving", "None of them", 0.36, 0),
    ]


def test_when_each_step_begins_and_ends_has_a_sheet_where_it_is_known() -> None:
    book = workbook(dumps(summarise(saying_when(MODEL_EYE))))
    rows = [[cell.value for cell in row] for row in book["Begins and ends"].iter_rows()]
    assert rows[0] == ["Step", "Begins when", "Ends when"]
    assert rows[1][0] == "Port placement"
    assert rows[2] == ["Core vitrectomy", CORE_BEGINS, CORE_ENDS]
    assert "Begins and ends" not in workbook(dumps(summarise(MODEL_EYE))).sheetnames


def test_time_by_place_has_a_sheet_where_a_place_was_said() -> None:
    sheet = workbook(dumps(summarise(PLACED)))["By place"]
    rows = [
        (row[0].value, row[1].value, ms(row[3]), row[4].value) for row in sheet.iter_rows(min_row=2) if row[0].value
    ]
    assert rows == [
        ("4 o'clock, posterior", 4, 40_000, 0.4),
        ("5 o'clock, posterior", 5, 80_000, 0.8),
        ("12 o'clock, far periphery", 12, 50_000, 0.5),
        ("With any place", None, 80_000, 0.8),
    ]


def test_no_label_becomes_a_formula_a_link_or_a_number() -> None:
    sheet = workbook(dumps(summarise(harmful())))["Durations"]
    cells = [row[0] for row in sheet.iter_rows(min_row=2, max_row=len(HARMFUL) + 1)]
    assert [cell.value for cell in cells] == [one_line(label) for label in HARMFUL]
    assert {cell.data_type for cell in cells} == {"s"}
    assert all(cell.hyperlink is None for cell in cells)


@pytest.mark.skipif(OFFICE is None, reason="LibreOffice is not installed")
def test_libreoffice_opens_it(tmp_path: Path) -> None:
    path = tmp_path / "durations.xlsx"
    path.write_bytes(dumps(summarise(harmful())))
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    as_utf_8 = "csv:Text - txt - csv (StarCalc):44,34,76"
    command = [str(OFFICE), profile, "--headless", "--convert-to", as_utf_8, "--outdir", str(tmp_path), str(path)]
    subprocess.run(command, check=True, capture_output=True, timeout=PATIENCE)
    rows = list(csv.reader((tmp_path / "durations.csv").read_text(encoding="utf-8").splitlines()))
    assert [row[0] for row in rows[1 : len(HARMFUL) + 1]] == [one_line(label) for label in HARMFUL]
    assert rows[1][4] == "0:00:01"
