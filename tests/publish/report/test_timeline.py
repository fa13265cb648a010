"""Where things stand in the picture: true to time, within the picture, names never over one another."""

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from msgspec.structs import replace

from annotator import publish
from annotator.model.case import Case, with_tags
from annotator.model.vocabulary import Concept, Facet, Vocabulary
from annotator.publish.report.phase_colours import PLAIN, case_colours, phase_colours
from annotator.publish.report.table import columns
from annotator.publish.report.timeline import timeline
from annotator.publish.report.timeline_lane import NARROW, WIDE, Band, Page
from annotator.store.vocabularies import find
from tests.measure.cases import case, tag
from tests.measure.strategies import LENGTH, cases
from tests.publish.report_case import MODEL_EYE

KEYS = {"ports": "1", "core": "2", "shave": "3", "removal": "4", "access": "A", "vitrectomy": "B", "closure": "C"}

STYLE = Path(publish.__file__ or "").parent / "report" / "templates" / "summary.css"
PHASES = {
    "access": "#56b4e9",
    "lens-surgery": "#f0e442",
    "vitrectomy": "#009e73",
    "membrane-work": "#e69f00",
    "reattachment": "#0072b2",
    "retinopexy": "#d55e00",
    "tamponade": "#cc79a7",
    "closure": "#8c96a0",
}


def text_span(band: Band) -> tuple[float, float]:
    """Where a band's name stands; a letter of 11.5 px is taken as 6.6 wide."""
    width = columns(band.text) * 6.6
    start = {"start": band.text_x, "middle": band.text_x - width / 2, "end": band.text_x - width}[band.anchor]
    return start, start + width


@pytest.mark.parametrize("page", [WIDE, NARROW], ids=["wide", "narrow"])
@given(one=cases(beyond=50))
def test_bands_are_true_to_time_and_inside_the_picture(page: Page, one: Case) -> None:
    drawn = timeline(one, KEYS, page=page)
    for lane in drawn.lanes:
        for band in lane.bands:
            assert page.gutter <= band.x <= page.width
            assert band.x + band.width <= page.width + 2
            assert lane.y <= band.y <= drawn.axis_y
            if band.text:
                assert text_span(band)[1] <= page.width + 8
    assert drawn.axis_y < drawn.height


@pytest.mark.parametrize("page", [WIDE, NARROW], ids=["wide", "narrow"])
@given(one=cases())
def test_names_beside_their_bands_never_overlap(page: Page, one: Case) -> None:
    for lane in timeline(one, KEYS, page=page).lanes:
        if lane.name in ("Technique", "Event"):
            spans = sorted((band.text_y, *text_span(band)) for band in lane.bands if band.text)
            for (row, _, end), (next_row, start, _) in pairwise(spans):
                assert row != next_row or end <= start + 0.01


def test_the_lanes_of_a_case() -> None:
    drawn = timeline(MODEL_EYE, KEYS)
    assert [lane.name for lane in drawn.lanes] == ["Phase", "Step", "Technique", "Event"]
    phases, steps, techniques, events = drawn.lanes
    assert [band.text for band in phases.bands] == ["A Access", "B Vitrectomy", "B", "C Closure"]
    assert [band.text for band in steps.bands] == ["1", "2 Core vitrectomy", "3 Base shaving", "2", "4 Port removal"]
    assert [band.moment for band in events.bands] == [True, False]
    assert [band.y - steps.y for band in steps.bands] == [0, 0, 26, 0, 0], "what overlaps stands in rows of its own"
    assert techniques.bands[0].y == techniques.bands[1].y - 22
    core = steps.bands[1]
    scale = (WIDE.width - WIDE.gutter) / 100_000
    assert (core.x, core.width) == (round(WIDE.gutter + 10_000 * scale, 2), round(40_000 * scale, 2))


def test_a_key_stands_below_a_band_that_is_too_narrow() -> None:
    narrow = case(tag("core", 0, 50_000), tag("shave", 50_000, 50_400), tag("removal", 50_400, 100_000))
    (_, steps) = timeline(narrow, KEYS).lanes
    band = steps.bands[1]
    assert (band.text, band.outside) == ("3", True)
    assert band.text_y > band.y + band.height


def test_ticks_are_few_and_even() -> None:
    for minutes in (1, 2, 8, 25, 60, 180, 600, 60_000):
        ticks = timeline(case(duration=minutes * 60_000), KEYS).ticks
        assert 5 <= len(ticks) <= 13
        steps = {round(after.x - before.x, 3) for before, after in pairwise(ticks)}
        assert max(steps) - min(steps) < 0.01


def test_phases_take_the_colours_in_the_order_of_the_vocabulary() -> None:
    """Okabe and Ito 2008, with a grey for the last; the eight phases of a vitrectomy."""
    words = find("vitreoretinal")
    colours = phase_colours(words)
    assert {name: colours[words.by_notation[name].iri].fill for name in words.by_notation if name in PHASES} == PHASES
    assert colours[words.by_notation["segmentation"].iri] == colours[words.by_notation["membrane-work"].iri]
    assert words.by_notation["bimanual"].iri not in colours


def test_what_may_fall_in_any_phase_has_the_colour_of_that_in_which_it_lies() -> None:
    one = case(tag("core", 0, 30_000), tag("removal", 30_000, 40_000), tag("shave", 40_000, 60_000))
    free = [replace(concept, any_phase=concept.notation == "removal") for concept in one.vocabulary.concepts]
    one = replace(one, vocabulary=replace(one.vocabulary, concepts=tuple(free)))
    _, steps = timeline(one, {}).lanes
    colours = phase_colours(one.vocabulary)
    assert {band.fill for band in steps.bands} == {colours[one.tags[0].concept].fill}
    assert colours[one.tags[1].concept].fill not in {band.fill for band in steps.bands}


def test_the_tags_that_an_edit_gives_another_colour_are_told() -> None:
    one = case(tag("core", 0, 30_000), tag("removal", 30_000, 40_000), tag("removal", 70_000, 80_000))
    free = [replace(concept, any_phase=concept.notation == "removal") for concept in one.vocabulary.concepts]
    one = replace(one, vocabulary=replace(one.vocabulary, concepts=tuple(free)))
    before, removal = case_colours(one), one.tags[2]
    assert before.of(removal.concept, removal.id) == before.of(one.tags[0].concept, one.tags[0].id)
    closed = case_colours(with_tags(one, [tag("closure", 70_000, 90_000)]))
    assert closed.others_than(before) == {removal.id}
    assert closed.of(removal.concept, removal.id) == closed.by_concept[one.vocabulary.by_notation["closure"].iri]
    noted = case_colours(with_tags(one, [replace(removal, note="bright")]))
    assert noted == before and noted.others_than(before) == set()
    assert case_colours(with_tags(one, [], [removal.id])).others_than(before) == {removal.id}


def test_a_phase_keeps_its_colour_in_a_vocabulary_that_leaves_others_out() -> None:
    """Named phases have their own, wherever they stand; the others take what is left, each another one."""
    facets = (Facet("phase", {"en": "Phase"}, exclusive=True),)
    names = ("closure", "count", "vitrectomy", "positioning")
    concepts = tuple(Concept(f"https://example.org/v#{one}", one, "phase", {"en": one}) for one in names)
    colours = phase_colours(Vocabulary("https://example.org/v", "v", "1", {"en": "V"}, facets, concepts))
    fills = [colours[one.iri].fill for one in concepts]
    assert (fills[0], fills[2]) == (PHASES["closure"], PHASES["vitrectomy"])
    assert len(set(fills)) == 4


def test_ink_is_legible_on_every_colour() -> None:
    """WCAG 2.2, success criterion 1.4.3: 4.5 to 1, by the definition of relative luminance."""
    assert ".dark { fill: #0d141b; }" in STYLE.read_text(encoding="utf-8")
    for colour in {*phase_colours(find("vitreoretinal")).values(), PLAIN}:
        ink = "#ffffff" if colour.is_deep else "#0d141b"
        lighter, darker = sorted((luminance(colour.fill), luminance(ink)), reverse=True)
        assert (lighter + 0.05) / (darker + 0.05) >= 4.5


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_a_random_case_is_as_long_as_its_recording() -> None:
    assert timeline(case(duration=LENGTH), KEYS).lanes == ()
