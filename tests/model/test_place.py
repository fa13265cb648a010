"""Places on the retina as text."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.model.place import HOURS, ZONES, Field, Place, parse_place, print_place
from tests.strategies import places


@given(places)
def test_what_is_printed_is_read_back(place: Place) -> None:
    assert parse_place(print_place(place)) == place


# Hand-worked from the rule in the docstring: hours count clockwise, zones outward.
@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("", set()),
        (" ; ", set()),
        ("5 posterior", {(5, "posterior")}),
        ("4-6 mid-periphery", {(4, "mid-periphery"), (5, "mid-periphery"), (6, "mid-periphery")}),
        ("11-1 far periphery", {(11, "far periphery"), (12, "far periphery"), (1, "far periphery")}),
        ("12/6 POSTERIOR", {(12, "posterior"), (6, "posterior")}),
        ("posterior", {(hour, "posterior") for hour in HOURS}),
        ("1 posterior; 2 far periphery", {(1, "posterior"), (2, "far periphery")}),
    ],
)
def test_the_forms_of_a_place(text: str, fields: set[tuple[int, str]]) -> None:
    assert parse_place(text) == {Field(*field) for field in fields}


@pytest.mark.parametrize(
    ("fields", "text"),
    [
        ([(12, "posterior"), (1, "posterior"), (11, "posterior")], "11-1 posterior"),
        ([(1, "posterior"), (3, "posterior")], "1/3 posterior"),
        ([(1, "far periphery"), (1, "posterior")], "1 posterior; 1 far periphery"),
        ([(hour, "mid-periphery") for hour in HOURS], "mid-periphery"),
    ],
)
def test_places_are_printed_in_the_fewest_words(fields: list[tuple[int, str]], text: str) -> None:
    assert print_place(frozenset(Field(*field) for field in fields)) == text


@pytest.mark.parametrize(
    "text", ["0 posterior", "13 posterior", "4- posterior", "macula", "4", "4-6", "4 5 posterior", "½"]
)
def test_anything_else_is_refused_with_the_zones(text: str) -> None:
    with pytest.raises(InvalidEdit, match="far periphery"):
        parse_place(text)


PARTS = st.sampled_from(["4", "11-1", "12", "13", "0", "-", "/", ";", " ", *ZONES]) | st.text(
    "0123456789-/; ", max_size=3
)


@given(st.lists(PARTS, max_size=6).map("".join))
def test_no_text_breaks_the_reader(text: str) -> None:
    with contextlib.suppress(InvalidEdit):
        place = parse_place(text)
        assert {field.hour for field in place} <= set(HOURS)
        assert {field.zone for field in place} <= set(ZONES)
        assert parse_place(print_place(place)) == place
