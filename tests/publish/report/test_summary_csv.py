"""The table reads back with Python's csv module, and no cell of it is run by a spreadsheet."""

import csv
from io import StringIO

from annotator.formats.tables.escape_formula import unescape_formula
from annotator.measure.durations import summarise
from annotator.plain_text import one_line
from annotator.publish.report.summary_csv import COLUMNS, dumps, dumps_occurrences, dumps_places, dumps_within
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, HARMFUL, MODEL_EYE, PLACED, harmful, saying_when


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text, newline="")))


def test_rows_under_a_header() -> None:
    text = dumps(summarise(MODEL_EYE))
    assert text.splitlines()[0] == ",".join(COLUMNS)
    assert text.splitlines()[2] == "core,Core vitrectomy,2,2,45000,75000,40000,22500,22500,0.45,0.45,10000,,,"
    assert text.splitlines()[1] == "ports,Port placement,1,1,10000,10000,,,,0.1,0.1,0,,,", "of one, nothing to compare"
    assert len(read(text)) == 4


def test_each_step_and_each_occurrence_says_when_it_begins_and_ends() -> None:
    one = saying_when(MODEL_EYE)
    for text in (dumps(summarise(one)), dumps_occurrences(one, "step")):
        said = {row["notation"]: (row["begins_when"], row["ends_when"]) for row in read(text)}
        assert said["core"] == (CORE_BEGINS, CORE_ENDS)
        assert said["shave"] == ("", "")
        assert text.splitlines()[0].endswith(",altered")


def test_by_performer_says_whose_row_it_is() -> None:
    rows = read(dumps(summarise(MODEL_EYE, by_performer=True)))
    assert [(row["performer"], row["notation"]) for row in rows] == [
        ("", "ports"),
        ("", "core"),
        ("", "shave"),
        ("", "removal"),
        ("teacher", "ports"),
        ("teacher", "removal"),
        ("trainee", "core"),
        ("trainee", "shave"),
        ("not said", "core"),
    ]


def test_no_cell_starts_a_formula() -> None:
    """OWASP, "CSV Injection": a cell that begins with = + - @ tab or CR may be run."""
    rows = read(dumps(summarise(harmful())))
    assert len(rows) == len(HARMFUL)
    for row, label in zip(rows, HARMFUL, strict=True):
        assert not row["label"].startswith(("=", "+", "-", "@", "\t", "\r"))
        assert unescape_formula(row["label"]) == one_line(label)


def test_what_lay_within_is_a_table_of_its_own() -> None:
    within = summarise(MODEL_EYE, within="technique").within
    assert within is not None
    assert dumps_within(within).splitlines() == [
        "notation,label,total_ms,within,within_label,within_ms,within_share,marked,altered",
        "core,Core vitrectomy,45000,bimanual,Bimanual,30000,0.6666666666666666,0,",
        "shave,Base shaving,25000,bimanual,Bimanual,15000,0.6,0,",
        "shave,Base shaving,25000,lift,Lift and shave,2000,0.08,0,",
    ]


def test_places_are_a_table_of_their_own() -> None:
    assert dumps_places(summarise(PLACED)).splitlines() == [
        "hour,zone,label,total_ms,share,altered",
        '4,posterior,"4 o\'clock, posterior",40000,0.4,',
        '5,posterior,"5 o\'clock, posterior",80000,0.8,',
        '12,far periphery,"12 o\'clock, far periphery",50000,0.5,',
    ]
    assert len(dumps_places(summarise(MODEL_EYE)).splitlines()) == 1
