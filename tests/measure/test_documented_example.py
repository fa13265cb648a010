"""The worked example in docs/measures.md is what the program computes: its tables are read and compared."""

import re
from pathlib import Path

from annotator.measure.durations import summarise
from annotator.measure.within import PERFORMER
from annotator.model.case import Case
from annotator.model.timecode import parse
from tests.measure.cases import CONCEPTS, case, tag

PAGE = Path(__file__).resolve().parents[2] / "docs" / "measures.md"
NOTATIONS = {label: notation for notation, _, _, label in CONCEPTS}


def tables() -> dict[str, list[list[str]]]:
    """The tables of the example by the name of their first column and their width; cells as text."""
    _, _, section = PAGE.read_text(encoding="utf-8").partition("## A worked example")
    section, _, _ = section.partition("\n## ")
    found: dict[str, list[list[str]]] = {}
    for table in re.findall(r"(?:^\|.*\|\n)+", section, re.MULTILINE):
        rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()]
        found[f"{rows[0][0]} {len(rows[0])}"] = rows[2:]
    return found


def documented() -> Case:
    return case(
        *(
            tag(NOTATIONS[step], parse(start), parse(end), number, who or None)
            for number, (step, _, start, end, who) in enumerate(tables()["step 5"])
        )
    )


def test_the_tables_hold() -> None:
    for facet in ("step", "phase"):
        rows = [
            [
                row.label,
                str(row.visits),
                *(time(one) for one in (row.total, row.elapsed, row.longest, row.mean, row.median)),
                f"{row.share:.0%}".replace("%", " %"),
                time(row.first_start),
            ]
            for row in summarise(documented(), facet).rows
        ]
        assert rows == tables()[f"{facet} 9"]


def test_the_sentences_hold() -> None:
    text = PAGE.read_text(encoding="utf-8")
    summary = summarise(documented(), by_performer=True, within=PERFORMER)
    assert f"together {(summary.untagged or 0) // 1000} s" in text
    assert f"is under two tags, {(summary.overlap or 0) // 1000} s" in text
    assert summary.operation == documented().whole, "the operating time that the page gives"
    core = next(row for row in summary.rows if row.notation == "core")
    assert f"{(core.elapsed or 0) // 1000} s elapsed" in text
    assert [f"interrupted it for {one.total // 1000} s" for one in core.interruptions] == ["interrupted it for 20 s"]
    assert "base shaving interrupted it for 20 s" in text
    assert summary.within is not None
    parts = next(row for row in summary.within.rows if row.notation == "core").all_parts
    assert {part.label: f"{part.share:.1%}" for part in parts} == {
        "Trainee": "66.7%",
        "Teacher": "22.2%",
        "None of them": "11.1%",
    }
    assert "trainee 66.7 %, teacher 22.2 %, none of them 11.1 %" in text
    by_performer = {
        group.performer: row.total // 1000
        for group in summary.by_performer or ()
        for row in group.rows
        if row.notation == "core"
    }
    assert by_performer == {"trainee": 30, "teacher": 10, None: 5}
    assert "trainee 30 s, teacher 10 s, not said 5 s" in text


def time(ms: int | None) -> str:
    return "" if ms is None else f"{ms // 60_000}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"
