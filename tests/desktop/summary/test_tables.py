"""The tables hold what the files hold: the same figures, from the same count."""

import csv
import io

from annotator.desktop.summary.tables import BY_PERFORMER, BY_STEP, OCCURRENCES, WITHIN, figures_of
from annotator.desktop.widgets.table import as_csv, as_text
from annotator.publish.report import summary_csv
from annotator.publish.report.summary import summary_text
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, MODEL_EYE, harmful, saying_when

FIGURES = figures_of(MODEL_EYE, "step", "technique")


def file_rows(by_performer: bool) -> list[list[str]]:
    text, _ = summary_text(MODEL_EYE, "csv", "step", by_performer)
    assert isinstance(text, str)
    return list(csv.reader(io.StringIO(text)))[1:]


def test_by_step_holds_the_figures_of_the_file() -> None:
    """What a file leaves empty is below every figure, so that it sorts last or first."""
    shown = [[line.notation, *(cell.value for cell in line.cells[1:])] for line in FIGURES.tables[BY_STEP].lines]
    columns = [
        *("visits", "total_ms", "elapsed_ms", "operating_share", "share"),
        *("longest_ms", "median_ms"),
    ]
    at = [summary_csv.COLUMNS.index(column) for column in columns]
    filed = [[row[0], *(float(row[column] or -1) for column in at)] for row in file_rows(by_performer=False)]
    assert shown == filed


def test_a_step_says_what_interrupted_it_and_what_lay_within_it() -> None:
    core = FIGURES.tables[BY_STEP].lines[1]
    assert [cell.tip for cell in core.cells if cell.tip] == ["Interrupted by Base shaving 0:20"]
    shown = [tuple(cell.text for cell in line.cells) for line in FIGURES.tables[WITHIN].lines]
    assert shown == [
        ("Core vitrectomy", "Bimanual", "0:30", "66.7 %", ""),
        ("Core vitrectomy", "None of them", "0:15", "33.3 %", ""),
        ("Base shaving", "Bimanual", "0:15", "60.0 %", ""),
        ("Base shaving", "Lift and shave", "0:02", "8.0 %", ""),
        ("Base shaving", "None of them", "0:09", "36.0 %", ""),
    ]


def test_a_tip_says_when_a_step_begins_and_ends() -> None:
    lines = figures_of(saying_when(MODEL_EYE), "step", "technique").tables[BY_STEP].lines
    tips = {line.notation: line.cells[0].tip for line in lines}
    assert tips["core"] == f"Begins: {CORE_BEGINS}\nEnds: {CORE_ENDS}"
    assert tips["shave"] == ""


def test_by_performer_holds_those_of_each_who_did_something() -> None:
    shown = [(line.cells[0].value, line.notation, line.cells[3].value) for line in FIGURES.tables[BY_PERFORMER].lines]
    filed = [
        (row[0].replace("not said", "not given"), row[1], int(row[5])) for row in file_rows(by_performer=True) if row[0]
    ]
    assert shown == filed


def test_occurrences_are_those_of_the_file() -> None:
    shown = [[line.notation, *(cell.value for cell in line.cells[1:])] for line in FIGURES.tables[OCCURRENCES].lines]
    filed = list(csv.reader(io.StringIO(summary_csv.dumps_occurrences(MODEL_EYE, "step"))))
    assert tuple(filed[0]) == summary_csv.OCCURRENCE_COLUMNS
    assert shown == [[row[0], *map(int, row[2:5])] for row in filed[1:]]


def test_what_is_copied_runs_nothing_in_a_spreadsheet() -> None:
    """OWASP, "CSV Injection": no cell begins with =, +, -, @, a tab or a return."""
    for table in figures_of(harmful(), "step", "technique").tables.values():
        for text, between in ((as_csv(table.heads, table.lines), ","), (as_text(table.heads, table.lines), "\t")):
            rows = list(csv.reader(io.StringIO(text), delimiter=between))
            assert len(rows) == 1 + len(table.lines)
            assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for row in rows for cell in row)
