"""The names of the timeline's bands: in free room beside what is too short for them, and never over each other."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF
from PySide6.QtGui import QFontMetricsF, QImage, QPainter
from PySide6.QtWidgets import QApplication

from annotator.desktop.theme.tokens import DARK
from annotator.desktop.timeline.bands import FacetBand, ImpliedBand
from annotator.desktop.timeline.lane import Look, Words
from annotator.desktop.timeline.painting import paint_words
from annotator.desktop.timeline.scale import Scale
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.publish.report.phase_colours import CaseColours, phase_colours
from annotator.store.vocabularies import find
from annotator.workflow.frames import CaseFrames

VOCABULARY = find("vitreoretinal")
STEPS = tuple(VOCABULARY.in_facet("step"))
EVENTS = tuple(VOCABULARY.in_facet("event"))
LENGTH, WIDTH = 5_000, 1_000
SCALE = Scale(0, LENGTH, 0, WIDTH)
"""Five milliseconds a pixel."""


def case_of(tags: Sequence[Tag]) -> Case:
    return Case("urn:case:1", "", VOCABULARY, (Recording("urn:r:1", "a.mp4", "a", LENGTH),), in_order(tags))


def words_of(case: Case, band: FacetBand | ImpliedBand, selected: str | None = None) -> Sequence[Words]:
    marks = frozenset({selected} if selected else ())
    colours = CaseColours(phase_colours(VOCABULARY))
    look = Look(case, CaseFrames(case, {}), 0, selected, marks, DARK, colours, None, 0, WIDTH)
    image = QImage(WIDTH, 100, QImage.Format.Format_ARGB32_Premultiplied)
    painter = QPainter(image)
    found = band.paint(painter, QRectF(0, 0, WIDTH, band.height), SCALE, look)
    paint_words(painter, image.rect(), found, -100)
    painter.end()
    return found


def written(words: Words) -> QRectF:
    """Where the words themselves are."""
    area = QRectF(words.area)
    area.setWidth(QFontMetricsF(words.font).horizontalAdvance(words.text))
    return area


def step(number: int, start: int, end: int) -> Tag:
    return Tag(f"urn:tag:{number}", STEPS[number % len(STEPS)].iri, start, end)


@pytest.fixture(autouse=True)
def _fonts(qapp: QApplication, typefaces: None) -> None:
    """They can't be measured without."""


@pytest.mark.parametrize("length", [1, 5, 20, 100])
def test_a_short_band_is_named_beside_itself(length: int) -> None:
    case = case_of([step(0, 1_000, 1_000 + length), step(1, 4_000, 4_900)])
    short, long = words_of(case, FacetBand(case, VOCABULARY.facet("step")))
    assert (short.text, long.text) == (STEPS[0].label(), STEPS[1].label())
    assert SCALE.x(1_000 + length) < short.area.left() < SCALE.x(1_000 + length) + 10
    assert short.ground == DARK.raised


def test_a_moment_is_named_beside_its_mark() -> None:
    case = case_of([Tag("urn:tag:1", EVENTS[0].iri, 1_000, 1_000)])
    (name,) = words_of(case, FacetBand(case, VOCABULARY.facet("event")))
    assert name.text == EVENTS[0].label()
    assert name.area.left() > SCALE.x(1_000) + 5.5


def test_a_short_band_between_others_is_named_once_it_is_selected() -> None:
    case = case_of([step(0, 1_000, 1_500), step(1, 1_500, 1_520), step(2, 1_520, 3_000)])
    band = FacetBand(case, VOCABULARY.facet("step"))
    assert STEPS[1].label() not in [one.text for one in words_of(case, band)]
    found = words_of(case, band, "urn:tag:1")
    assert [one.text for one in found if one.is_plate] == [STEPS[1].label()]
    assert not any(one.area.intersects(found[-1].area) for one in found[:-1])


def test_at_the_end_of_the_case_the_name_is_on_the_left() -> None:
    case = case_of([step(0, 4_990, LENGTH)])
    (name,) = words_of(case, FacetBand(case, VOCABULARY.facet("step")), "urn:tag:0")
    assert name.text == STEPS[0].label()
    assert name.area.right() < SCALE.x(4_990)


def test_phases_that_overlap_have_rows_of_their_own() -> None:
    """As a table may bring them: a step of one phase goes on within a step of another."""
    bound = [one for one in STEPS if VOCABULARY.lineage(one, "phase") and not VOCABULARY.is_any_phase(one)]
    by_phase = {VOCABULARY.lineage(one, "phase")[0].iri: one for one in bound}
    one, other = list(by_phase.values())[:2]
    case = case_of([Tag("urn:tag:1", one.iri, 500, 3_000), Tag("urn:tag:2", other.iri, 600, 2_500)])
    first, second = words_of(case, ImpliedBand(case, VOCABULARY.facet("phase")))
    assert not written(first).intersects(written(second))
    assert len({first.text, second.text}) == 2


ranges = st.lists(st.tuples(st.integers(0, LENGTH - 1), st.integers(0, 900)), min_size=1, max_size=12)


@given(ranges, st.booleans())
def test_no_name_runs_into_another_or_out_of_the_timeline(found: list[tuple[int, int]], is_implied: bool) -> None:
    tags = [step(number, start, min(start + length, LENGTH)) for number, (start, length) in enumerate(found)]
    case = case_of([tag for tag in tags if tag.end != tag.start])
    facet = VOCABULARY.facet("phase" if is_implied else "step")
    words = [written(one) for one in words_of(case, (ImpliedBand if is_implied else FacetBand)(case, facet))]
    for number, one in enumerate(words):
        assert not any(one.intersects(other) for other in words[number + 1 :])
        assert one.right() <= WIDTH
