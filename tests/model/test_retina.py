"""The retina chart: which field is where, which way round it stands, and what it is in words."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.case import Eye
from annotator.model.place import HOURS, ZONES, Field, Place, parse_place, runs
from annotator.model.retina import (
    FIELDS,
    Sides,
    View,
    beside,
    centre,
    field_at,
    field_in_words,
    place_in_words,
    point,
    sides,
    view_in_words,
    wedge,
)
from tests.strategies import places

views = st.sampled_from(View)
fields = st.sampled_from(FIELDS)


@given(fields, views, st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_every_point_of_a_field_belongs_to_it(field: Field, view: View, outward: float, round_: float) -> None:
    inner, outer, start, end = wedge(field, view)
    at = point(inner + outward * (outer - inner), start + round_ * (end - start))
    assert field_at(*at, view) == field
    assert field_at(*centre(field, view), view) == field


@given(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5))
def test_the_surgeons_view_is_the_upright_one_turned_by_half(x: float, y: float) -> None:
    found = field_at(x, y, View.UPRIGHT)
    assert (found is None) == (hypot(x, y) >= 1)
    turned = field_at(-x, -y, View.SURGEON)
    if found is None or turned is None:
        assert found is turned
    else:
        assert found.zone == turned.zone
        # On a border between two hours, rounding may give either.
        assert (found.hour - turned.hour) % 12 in (0, 1, 11)


@pytest.mark.parametrize(
    ("x", "y", "upright", "surgeon"),
    [(0, -0.9, 12, 6), (0.9, 0, 3, 9), (0, 0.9, 6, 12), (-0.9, 0, 9, 3), (0.45, -0.78, 1, 7)],
)
def test_hours_stand_as_on_a_clock(x: float, y: float, upright: int, surgeon: int) -> None:
    assert field_at(x, y, View.UPRIGHT) == (upright, "far periphery")
    assert field_at(x, y, View.SURGEON) == (surgeon, "far periphery")


def test_the_nose_is_on_its_side() -> None:
    """Facing the patient, the nose is right of the right eye, so a right eye's 3 o'clock is nasal (common practice)."""
    assert sides(Eye.RIGHT, View.UPRIGHT) == Sides("T", "N")
    assert sides(Eye.LEFT, View.UPRIGHT) == Sides("N", "T")
    assert sides(Eye.RIGHT, View.SURGEON) == Sides("N", "T")
    assert sides(Eye.LEFT, View.SURGEON) == Sides("T", "N")
    assert sides(None, View.UPRIGHT) == Sides("", "")


def test_one_goes_round_and_outward_field_by_field() -> None:
    at = Field(12, "posterior")
    assert beside(at, clockwise=1) == (1, "posterior")
    assert beside(at, clockwise=-1) == (11, "posterior")
    assert beside(at, outward=1) == (12, "mid-periphery")
    assert beside(at, outward=-1) == at
    assert beside(Field(3, "far periphery"), outward=1) == (3, "far periphery")


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("4-6 mid-periphery; 4-6 posterior", "4–6 o'clock, mid-periphery and posterior"),
        ("11-1/5 far periphery", "5 and 11–1 o'clock, far periphery"),
        ("1/3/5 posterior", "1, 3 and 5 o'clock, posterior"),
        ("far periphery; 12 posterior", "all round, far periphery; 12 o'clock, posterior"),
        ("posterior; mid-periphery; far periphery", "all round, far periphery, mid-periphery and posterior"),
        ("", "no place given"),
    ],
)
def test_a_place_in_words(place: str, words: str) -> None:
    assert place_in_words(parse_place(place)) == words


@given(places, places)
def test_two_places_never_have_the_same_words(one: Place, other: Place) -> None:
    assert (place_in_words(one) == place_in_words(other)) == (one == other)


@given(st.frozensets(st.sampled_from(list(HOURS))))
def test_runs_hold_all_hours_once(hours: frozenset[int]) -> None:
    found = [(first + step - 1) % 12 + 1 for first, last in runs(hours) for step in range((last - first) % 12 + 1)]
    assert sorted(found) == sorted(hours)


def test_a_field_and_a_view_in_words() -> None:
    assert field_in_words(Field(5, ZONES[1])) == "5 o'clock, mid-periphery"
    assert view_in_words(Eye.LEFT, View.UPRIGHT) == "left eye, upright"
    assert view_in_words(None, View.SURGEON) == "eye not given, as the surgeon sits"
