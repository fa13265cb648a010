"""The summary's retina chart: the measured times as figures and tint, and all of it in words."""

import re

import pytest
from msgspec.structs import replace

from annotator.desktop.theme.tokens import DARK, LIGHT, Colours, contrast
from annotator.measure.durations import summarise
from annotator.model.case import with_tags
from annotator.model.place import FIELDS, Eye, Field, parse_place
from annotator.model.retina import View, field_at, field_in_words, is_area
from annotator.publish.report.retina_svg import SIZE, retina_picture
from annotator.publish.report.summary_html import dumps
from tests.publish.report.test_summary_html import page
from tests.publish.report_case import MODEL_EYE, PLACED


def test_figures_and_tints_are_those_measured() -> None:
    picture = retina_picture(PLACED)
    assert picture is not None
    drawn = {shape.title.split(":")[0]: (shape.figure, shape.tint) for shape in picture.shapes if shape.tint}
    assert drawn == {
        "4 o'clock, posterior": ("0:40", 2),
        "5 o'clock, posterior": ("1:20", 4),
        "12 o'clock, far periphery": ("0:50", 3),
    }
    assert len(picture.shapes) == 36 + 3, "fovea, macula and disc beside the fields of the clock"
    assert picture.placed == 80_000
    assert [letter.text for letter in picture.letters] == ["N", "T"]


def test_each_figure_and_outline_stands_in_its_field() -> None:
    picture = retina_picture(PLACED)
    assert picture is not None
    areas = {field_in_words(field): field for field in FIELDS if is_area(field)}
    assert {shape.title.split(":")[0] for shape in picture.shapes} == {*areas}
    for shape in picture.shapes:
        field = areas[shape.title.split(":")[0]]
        assert _field(shape.x, shape.y) == field
        if not field.hour:
            continue
        numbers = [float(number) for number in re.findall(r"-?[\d.]+", shape.path)]
        corners = [numbers[0:2], numbers[2:4], numbers[9:11], numbers[11:13]]
        middle = [sum(corner[axis] for corner in corners) / 4 for axis in (0, 1)]
        assert field_at((middle[0] - SIZE / 2) / 180, (middle[1] - SIZE / 2) / 180, View.UPRIGHT) in (
            field,
            Field(0, "macula"),
        )


def test_parts_with_a_name_and_lines_show_their_time() -> None:
    placed = replace(PLACED.tags[0], place=parse_place("macula; 5 ora; superotemporal arcade"))
    picture = retina_picture(with_tags(PLACED, [placed]))
    assert picture is not None
    drawn = {shape.title: shape.is_over for shape in picture.shapes if shape.is_over and shape.tint}
    assert drawn == {
        "macula: 0:40": True,
        "5 o'clock, ora: 0:40": True,
        "superotemporal arcade: 0:40": True,
    }


def test_without_an_eye_no_disc_is_drawn() -> None:
    picture = retina_picture(replace(PLACED, eye=None))
    assert picture is not None
    assert len(picture.shapes) == 36 + 2


def _field(x: float, y: float) -> Field | None:
    return field_at((x - SIZE / 2) / 180, (y - SIZE / 2) / 180, View.UPRIGHT, Eye.LEFT)


def test_the_page_shows_and_says_it() -> None:
    found = page(dumps(summarise(PLACED), PLACED))
    assert found.said("desc")[-1] == (
        "4 o'clock, posterior: 0:40; 5 o'clock, posterior: 1:20; 12 o'clock, far periphery: 0:50"
    )
    assert "Time by place on the retina; left eye, upright" in found.said("title")
    assert {"0:40", "1:20", "0:50", "N", "T", "12"} <= set(found.said("text"))
    assert "A place is given for 1:20 of 1:40." in found.said("figcaption")[-1]
    named = {one for picture in found.named("svg") for one in (picture.get("aria-labelledby") or "").split()}
    assert {"retina-title", "retina-text"} <= named


def test_a_case_that_says_no_place_has_no_chart() -> None:
    assert retina_picture(MODEL_EYE) is None
    assert 'class="retina"' not in dumps(summarise(MODEL_EYE), MODEL_EYE)


@pytest.mark.parametrize("colours", [DARK, LIGHT], ids=["dark", "light"])
def test_figures_are_legible_on_the_deepest_tint(colours: Colours) -> None:
    """The page's colours are the window's; its deepest tint is the accent at 0.4 over the panel."""
    mixed = [
        round(0.4 * int(colours.accent[at : at + 2], 16) + 0.6 * int(colours.panel[at : at + 2], 16))
        for at in (1, 3, 5)
    ]
    assert contrast(colours.text, "#{:02x}{:02x}{:02x}".format(*mixed)) >= 4.5
