"""The retina chart: which field is where, which way round it stands, and what it is in words."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.case import Eye
from annotator.model.place import FIELDS, HOURS, NO_HOUR, ZONES, Field, Place, parse_place, runs
from annotator.model.retina import (
    LAYERS,
    Round,
    Sides,
    View,
    at_hour,
    beside,
    centre,
    depends_on_eye,
    field_at,
    field_in_words,
    is_area,
    mirror,
    outline,
    place_in_words,
    point,
    sides,
    view_in_words,
)
from tests.strategies import places

views = st.sampled_from(View)
eyes = st.sampled_from([None, *Eye])
fields = st.sampled_from(FIELDS)
areas = st.sampled_from([field for field in FIELDS if is_area(field)])


@given(areas, views, eyes, st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_every_point_of_an_area_belongs_to_it(
    field: Field, view: View, eye: Eye | None, outward: float, round_: float
) -> None:
    """Or to one of the parts that lie over it."""
    found, at = outline(field, view, eye), centre(field, view, eye)
    if found is None or at is None:
        assert (field.zone, eye, found, at) == ("disc", None, None, None)
        return
    assert field_at(*at, view, eye) == field
    if isinstance(found, Round):
        off = point(found.radius * outward, 360 * round_)
        at = type(off)(found.middle.x + off.x, found.middle.y + off.y)
    else:
        inner, outer, start, end = found
        at = point(inner + outward * (outer - inner), start + round_ * (end - start))
    over = (
        {Field(NO_HOUR, part) for part in ("disc", "fovea", "macula")}
        if field.zone in ("posterior", "macula")
        else set()
    )
    assert field_at(*at, view, eye) in {field} | over


@given(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5))
def test_the_surgeons_view_is_the_upright_one_turned_by_half(x: float, y: float) -> None:
    found = field_at(x, y, View.UPRIGHT)
    assert (found is None) == (hypot(x, y) >= 1)
    turned = field_at(-x, -y, View.TURNED)
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
    assert field_at(x, y, View.TURNED) == (surgeon, "far periphery")


def test_the_nose_is_on_its_side() -> None:
    """Facing the patient, the nose is right of the right eye, so a right eye's 3 o'clock is nasal (common practice)."""
    assert sides(Eye.RIGHT, View.UPRIGHT) == Sides("T", "N")
    assert sides(Eye.LEFT, View.UPRIGHT) == Sides("N", "T")
    assert sides(Eye.RIGHT, View.TURNED) == Sides("N", "T")
    assert sides(Eye.LEFT, View.TURNED) == Sides("T", "N")
    assert sides(Eye.LEFT, View.MIRRORED) == sides(Eye.RIGHT, View.TURNED_AND_MIRRORED) == Sides("T", "N")
    assert sides(None, View.UPRIGHT) == Sides("", "")


@given(st.floats(-1, 1), st.floats(-1, 1), views, eyes)
def test_a_point_of_the_eye_is_the_same_field_however_the_picture_stands(
    x: float, y: float, view: View, eye: Eye | None
) -> None:
    found = field_at(x, y, View.UPRIGHT, eye)
    across, down = (-x if view.is_mirrored else x), y
    if view.is_turned:
        across, down = -across, -down
    there = field_at(across, down, view, eye)
    if found is None or there is None:
        assert hypot(x, y) > 0.999999
    elif found != there:  # on a border, rounding may give either
        at = outline(there, View.UPRIGHT, eye)
        assert at is not None
        near = {field_at(x + dx, y + dy, View.UPRIGHT, eye) for dx in (-1e-6, 0, 1e-6) for dy in (-1e-6, 0, 1e-6)}
        assert there in near


def test_one_goes_round_and_outward_field_by_field() -> None:
    at = Field(12, "posterior")
    assert beside(at, clockwise=1) == (1, "posterior")
    assert beside(at, clockwise=-1) == (11, "posterior")
    assert beside(at, outward=1) == (12, "mid-periphery")
    assert beside(Field(3, "mid-periphery"), outward=1) == (3, "equator")
    assert beside(Field(3, "pars plana"), outward=1) == (3, "pars plana")


def test_one_goes_inward_to_the_parts_with_a_name_and_out_again() -> None:
    macula, fovea = Field(NO_HOUR, "macula"), Field(NO_HOUR, "fovea")
    assert beside(Field(5, "posterior"), outward=-1) == macula
    assert beside(macula, outward=-1) == beside(fovea, outward=-1) == fovea
    assert beside(fovea, outward=1) == macula
    assert beside(macula, outward=1) == (12, "posterior")
    assert at_hour(macula, 6) == (6, "posterior")
    assert at_hour(Field(2, "ora"), 6) == (6, "ora")


def test_every_field_is_reached_by_the_arrows() -> None:
    reached = {Field(12, "posterior")}
    ways = ((1, 0), (-1, 0), (0, 1), (0, -1))
    while new := {beside(field, *way) for field in reached for way in ways} - reached:
        reached |= new
    assert reached == {*FIELDS}
    assert {field for layer in LAYERS for field in layer} == reached


@given(views, st.sampled_from([*Eye]), fields)
def test_every_field_has_an_outline_in_an_eye_that_is_given(view: View, eye: Eye, field: Field) -> None:
    assert outline(field, view, eye) is not None
    at = centre(field, view, eye)
    assert at is not None
    assert hypot(*at) < 1.07


@given(views, st.sampled_from([*Eye]))
def test_disc_and_nasal_arcades_stand_on_the_side_of_the_nose(view: View, eye: Eye) -> None:
    nose = 1 if sides(eye, view).right == "N" else -1
    up = 1 if field_at(0, -0.9, view) == (12, "far periphery") else -1
    for part, way, high in (
        ("disc", 1, 0),
        ("superonasal arcade", 1, 1),
        ("inferonasal arcade", 1, -1),
        ("superotemporal arcade", -1, 1),
        ("inferotemporal arcade", -1, -1),
    ):
        at = centre(Field(NO_HOUR, part), view, eye)
        assert at is not None
        assert (at.x * nose * way > 0) and (round(-at.y * up, 6) * high > 0 or not high)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("4-6 mid-periphery; 4-6 posterior", "4–6 o'clock, mid-periphery and posterior"),
        ("11-1/5 far periphery", "5 and 11–1 o'clock, far periphery"),
        ("1/3/5 posterior", "1, 3 and 5 o'clock, posterior"),
        ("far periphery; 12 posterior", "all round, far periphery; 12 o'clock, posterior"),
        ("posterior; mid-periphery; far periphery", "all round, far periphery, mid-periphery and posterior"),
        ("macula; 5 posterior", "macula; 5 o'clock, posterior"),
        ("superotemporal arcade; disc; ora", "disc and superotemporal arcade; all round, ora"),
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
    assert field_in_words(Field(NO_HOUR, "macula")) == "macula"
    assert view_in_words(Eye.LEFT, View.UPRIGHT) == "left eye, upright"
    assert view_in_words(None, View.TURNED) == "eye not given, as the surgeon sits"


@given(places)
def test_a_place_mirrored_twice_is_itself(place: Place) -> None:
    assert mirror(mirror(place)) == place
    assert depends_on_eye(place) == (mirror(place) != place)


@given(st.sampled_from(["superotemporal", "inferonasal", "nasal", "temporal", "superior", "inferior"]))
def test_a_quadrant_mirrored_is_that_of_the_other_eye(side: str) -> None:
    right, left = (parse_place(side, eye) for eye in (Eye.RIGHT, Eye.LEFT))
    assert mirror(right) == left
    assert depends_on_eye(right) == (side not in ("superior", "inferior"))
    assert not depends_on_eye(parse_place(f"{side} arcades" if side in ("nasal", "temporal") else "macula"))
