"""Places on the retina as text."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.model.place import (
    ARCADES,
    AREAS,
    FIELDS,
    HOURS,
    NO_HOUR,
    PARTS,
    ZONES,
    Eye,
    Field,
    Place,
    parse_place,
    print_place,
)
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
    "text",
    [
        "0 posterior",
        "13 posterior",
        "4- posterior",
        "5 macula",
        "4",
        "4-6",
        "4 5 posterior",
        "½",
        "4/",
        "the",
        "and",
        "periphery",
        "posterior macula",
        "inferotemporal 5",
        "mid-periphery 5 6",
    ],
)
def test_anything_else_is_refused_with_the_zones(text: str) -> None:
    with pytest.raises(InvalidEdit, match="far periphery"):
        parse_place(text)


@pytest.mark.parametrize(
    ("text", "as_printed"),
    [
        ("5 mid periphery", "5 mid-periphery"),
        ("4-6 midperiphery", "4-6 mid-periphery"),
        ("5 o'clock, posterior", "5 posterior"),
        ("5 o’clock and 7 oclock posterior pole", "5/7 posterior"),
        ("4–6 o'clock, mid-periphery and posterior", "4-6 posterior; 4-6 mid-periphery"),
        ("mid-periphery 4 to 6", "4-6 mid-periphery"),
        ("all round, far periphery", "far periphery"),
        ("the macula", "macula"),
        ("Fovea and optic disc", "fovea; disc"),
        ("macula, 5 posterior", "macula; 5 posterior"),
        ("5 posterior, macula", "macula; 5 posterior"),
        ("superior temporal vascular arcade", "superotemporal arcade"),
        ("infero-nasal arcade", "inferonasal arcade"),
        ("temporal arcades", "superotemporal arcade; inferotemporal arcade"),
        ("arcades", "; ".join(ARCADES)),
        ("equator; ora serrata; 3 pars plana", "equator; ora; 3 pars plana"),
        ("superior far periphery", "11-1 far periphery"),
    ],
)
def test_what_surgeons_say(text: str, as_printed: str) -> None:
    assert print_place(parse_place(text)) == as_printed


@pytest.mark.parametrize(
    ("text", "right", "left"),
    [
        ("superotemporal mid-periphery", "9-12 mid-periphery", "12-3 mid-periphery"),
        ("superior nasal mid-periphery", "12-3 mid-periphery", "9-12 mid-periphery"),
        ("infero-nasal quadrant, mid periphery", "3-6 mid-periphery", "6-9 mid-periphery"),
        ("IT posterior", "6-9 posterior", "3-6 posterior"),
        ("nasal ora", "2-4 ora", "8-10 ora"),
        ("temporal ora", "8-10 ora", "2-4 ora"),
    ],
)
def test_quadrants_are_those_of_an_eye(text: str, right: str, left: str) -> None:
    """The nose is at 3 o'clock of a right eye as the examiner faces it (common practice, no source)."""
    assert (print_place(parse_place(text, Eye.RIGHT)), print_place(parse_place(text, Eye.LEFT))) == (right, left)
    with pytest.raises(InvalidEdit, match="give the eye first"):
        parse_place(text)


def test_a_quadrant_without_a_zone_is_all_of_the_retina_there() -> None:
    found = parse_place("inferotemporal", Eye.LEFT)
    assert found == {Field(hour, zone) for hour in (3, 4, 5, 6) for zone in AREAS}


@given(st.sampled_from(FIELDS))
def test_every_field_is_read_by_its_own_name(field: Field) -> None:
    name = field.zone if field.hour == NO_HOUR else f"{field.hour} {field.zone}"
    for written in (name, name.upper(), name.replace("-", " "), f"the {name}"):
        assert parse_place(written) == {field}


HOUR_WORDS = ("4", "11-1", "12", "13", "0", "-", "/", ";", "IN", "o'clock")
PIECES = st.sampled_from([*HOUR_WORDS, " ", ", ", " and ", "temporal ", "all round", *ZONES, *PARTS]) | st.text(
    "0123456789-/; ", max_size=3
)


@given(st.lists(PIECES, max_size=6).map("".join), st.sampled_from([None, *Eye]))
def test_no_text_breaks_the_reader(text: str, eye: Eye | None) -> None:
    with contextlib.suppress(InvalidEdit):
        place = parse_place(text, eye)
        assert place <= set(FIELDS)
        assert parse_place(print_place(place)) == place
