"""Events over cases: how often, and what the log of them says."""

import pytest
from hypothesis import given
from msgspec.structs import replace

from annotator.measure.durations import summarise
from annotator.measure.over_cases.events import events, said_in
from annotator.measure.over_cases.series import Member
from annotator.model.case import Case
from tests.measure.cases import tag
from tests.measure.over_cases.series_cases import member
from tests.measure.strategies import cases


def test_counts_by_case_and_a_log_in_order() -> None:
    found = events(
        [
            member(1, tag("core", 0, 50_000), tag("bleeding", 9_000, 12_000), tag("pressure", 10_000, 20_000)),
            member(2),
            member(3, tag("bleeding", 1_000, 1_000), tag("bleeding", 5_000, 5_000)),
        ],
        "en",
    )
    assert [(one.notation, one.cases, one.of, one.occurrences, one.by_case) for one in found.counts] == [
        ("bleeding", 2, 3, 3, (1, 0, 2)),
        ("pressure", 1, 3, 1, (1, 0, 0)),
    ]
    assert [(one.number, one.label, one.at, one.length, one.during) for one in found.log] == [
        (1, "Bleeding", 9_000, 3_000, ("Core vitrectomy",)),
        (1, "Pressure raised", 10_000, 10_000, ("Core vitrectomy",)),
        (3, "Bleeding", 1_000, 0, ()),
        (3, "Bleeding", 5_000, 0, ()),
    ]


def test_the_log_says_who_and_what_the_note_says() -> None:
    note = "Severity: 2; cause: traction\nAnswer: raised pressure; Outcome: stopped\nMr Invented was told"
    found = events([member(1, replace(tag("bleeding", 5, 5, performer="trainee"), note=note))], "en")
    (logged,) = found.log
    assert logged.performer == "trainee"
    assert logged.said == {"severity": "2", "cause": "traction", "answer": "raised pressure", "outcome": "stopped"}


@pytest.mark.parametrize("note", ["", "at 10:30 it bled", "severity:", "severely: 3", "because: x; : y"])
def test_other_words_say_nothing_to_the_log(note: str) -> None:
    assert said_in(note) == {}


def test_of_two_words_the_first_counts() -> None:
    assert said_in("cause: a; cause: b") == {"cause": "a"}


@given(cases())
def test_occurrences_are_those_of_the_durations(case: Case) -> None:
    found = events([Member(case, "case")], "en").counts
    assert {one.notation: one.occurrences for one in found} == {
        row.notation: row.visits for row in summarise(case, "event").rows
    }
