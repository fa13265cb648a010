"""One JSON object, key by key: what belongs there is handed out, what does not is said with its place."""

import itertools
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.case.fields import DEEPEST, Fields, json_place
from annotator.formats.faults import LONGEST_TEXT, Faults
from annotator.model.case import Eye
from annotator.model.timecode import LATEST


def fields(**plain: Any) -> Fields:
    return Fields(plain, ("items", 3), Faults(json_place))


def read(take: Callable[[Fields], object], **plain: Any) -> tuple[object, list[str]]:
    """What is handed out, and the faults noted."""
    made = fields(**plain)
    return take(made), made.faults.said


@pytest.mark.parametrize(
    ("path", "place"),
    [((), ""), (("a",), "a"), (("a", 3, "b"), "a[3].b"), ((0,), "[0]"), (("a", "b", 0, 1), "a.b[0][1]")],
)
def test_a_place_is_written_as_in_a_program(path: tuple[str | int, ...], place: str) -> None:
    assert json_place(path) == place


def test_what_is_no_object_is_said() -> None:
    faults = Faults(json_place)
    assert Fields([1], ("items", 3), faults).left() == {}
    assert faults.said == ["items[3]: this must be an object in braces"]


def test_a_key_is_handed_out_once_and_the_others_are_left() -> None:
    made = fields(a="x", b="y", c=None)
    assert made.text("a") == "x"
    assert made.text("a") == ""
    assert ("a" in made, "b" in made, "c" in made) == (False, True, False)
    made.keep("d", 1)
    assert made.left() == {"b": "y", "c": None, "d": 1}


@pytest.mark.parametrize(
    ("value", "handed", "fault"),
    [
        ("x", "x", ""),
        ("", "", ""),
        (None, "", ""),
        (1, "", "items[3].key: this must be text"),
        (["x"], "", "items[3].key: this must be text"),
        ("x" * LONGEST_TEXT, "x" * LONGEST_TEXT, ""),
        ("x" * (LONGEST_TEXT + 1), "x" * (LONGEST_TEXT + 1), "items[3].key: the text is longer than 10000 characters"),
    ],
    ids=["text", "empty", "null", "number", "list", "longest", "too long"],
)
def test_texts(value: object, handed: str, fault: str) -> None:
    assert read(lambda one: one.text("key"), key=value) == (handed, [fault] if fault else [])


def test_a_text_that_is_needed_is_missed() -> None:
    assert read(lambda one: one.text("key", needed=True)) == ("", ["items[3].key: this key is missing"])
    assert read(lambda one: one.text("key", needed=True), key="") == ("", [])


@pytest.mark.parametrize("iri", ["urn:uuid:1", "https://a.example/b#c", "https://ü.example/", "x+y-z.1:a"])
def test_iris(iri: str) -> None:
    """RFC 3987: a scheme, and no character that no IRI may hold."""
    assert read(lambda one: one.iri("key"), key=iri) == (iri, [])


@pytest.mark.parametrize("text", ["", "plain", "a b:c", "urn:a b", "urn:", ":a", "1a:b", "urn:<a>", "urn:a\n", "urn:`"])
def test_what_is_no_iri_is_said_once(text: str) -> None:
    (fault,) = read(lambda one: one.iri("key"), key=text)[1]
    assert "is not an IRI" in fault
    assert read(lambda one: one.iri("key"))[1] == ["items[3].key: this key is missing"]
    assert read(lambda one: one.iri("key"), key=1)[1] == ["items[3].key: this must be text"]


@given(st.datetimes(timezones=st.just(UTC)))
def test_any_moment_of_the_calendar_is_a_time_in_utc(moment: datetime) -> None:
    """XML Schema 1.1 part 2, 3.3.7: seconds may have a fraction."""
    for clock in (f"{moment:%H:%M:%S}", f"{moment:%H:%M:%S.%f}"):
        made = fields(key=f"{moment.date().isoformat()}T{clock}Z")
        assert made.utc("key") == f"{moment.date().isoformat()}T{clock}Z"
        assert made.faults.said == []


@pytest.mark.parametrize(
    "text",
    [
        *("2026-02-30T10:00:00Z", "2026-11-24T24:00:00Z", "2026-11-24T10:60:00Z", "2026-11-24T10:00:60Z"),
        *("2026-11-24T10:00:00", "2026-11-24T10:00:00+01:00", "2026-11-24 10:00:00Z", "2026-11-24", "today"),
        *("2026-11-24T10:00:00.Z", "2026-11-24T10:00:00.0123456789Z", "٢٠٢٦-11-24T10:00:00Z", "0000-01-01T00:00:00Z"),
    ],
)
def test_what_is_no_time_in_utc_is_said(text: str) -> None:
    (fault,) = read(lambda one: one.utc("key"), key=text)[1]
    assert fault.endswith("is not a date and time in UTC such as 2026-11-24T20:15:00Z")


@pytest.mark.parametrize(("value", "handed"), [(0, 0), (7, 7), (LATEST, LATEST), (None, 0)])
def test_whole_numbers(value: object, handed: int) -> None:
    assert read(lambda one: one.whole("key"), key=value) == (handed, [])


@pytest.mark.parametrize("value", [-1, LATEST + 1, 1.0, True, "1", [1]])
def test_what_is_no_whole_number_in_reach_is_said(value: object) -> None:
    handed, faults = read(lambda one: one.whole("key"), key=value)
    assert (handed, faults) == (0, [f"items[3].key: this must be a whole number from 0 to {LATEST}"])
    assert read(lambda one: one.whole("key", most=5), key=6)[1] == [
        "items[3].key: this must be a whole number from 0 to 5"
    ]


@pytest.mark.parametrize(("value", "unsaid"), [*itertools.product([True, False, None, 1, "true"], [True, False])])
def test_flags(value: object, unsaid: bool) -> None:
    handed, faults = read(lambda one: one.flag("key", unsaid), key=value)
    assert handed == (value if isinstance(value, bool) else unsaid)
    assert bool(faults) == (value in (1, "true") and not isinstance(value, bool))


def test_one_of_a_few() -> None:
    assert read(lambda one: one.member("key", Eye), key="left") == (Eye.LEFT, [])
    assert read(lambda one: one.member("key", Eye), key="") == (None, [])
    handed, (fault,) = read(lambda one: one.member("key", Eye), key="lefd")
    assert handed is None
    assert fault.startswith("items[3].key: “lefd” is not one of right, left; did you mean")


@pytest.mark.parametrize(
    ("value", "handed"), [(None, []), ([], []), ([1, 2], [1, 2]), (1, [1]), ({"a": 1}, [{"a": 1}])]
)
def test_a_lone_value_is_a_list_of_one(value: object, handed: list[object]) -> None:
    """JSON-LD 1.1, 1.7: a value and an array of that value mean the same."""
    assert read(lambda one: one.items("key"), key=value) == (handed, [])


def nested(levels: int) -> object:
    value: object = 1
    for number in range(levels):
        value = [value] if number % 2 else {"a": value}
    return value


@pytest.mark.parametrize(("levels", "kept"), [(0, True), (DEEPEST, True), (DEEPEST + 1, False)])
def test_what_nobody_knows_is_kept_unless_it_is_nested_without_end(levels: int, kept: bool) -> None:
    made = fields(odd=nested(levels))
    assert made.left() == {"odd": nested(levels)}
    assert made.faults.said == ([] if kept else ["items[3].odd: this is nested more than 50 levels deep"])
