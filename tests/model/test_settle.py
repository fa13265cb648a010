"""A stretch is settled: inside it holds what was said, outside nothing has changed."""

from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import UnknownName
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.settle import settle
from tests.measure.cases import case, tag

STEPS = ("core", "shave", "infusion")


def at(made: Case, ms: int) -> str | None:
    """The notation of the step that goes on at a time."""
    said = [found.notation for one in made.covering(ms) if (found := made.concept_of(one)) is not None]
    assert len(said) <= 1
    return said[0] if said else None


def settled(made: Case, start: int, end: int, instead: Tag | None) -> Case:
    numbers = count()
    return settle(made, "step", Interval(start, end), instead, lambda: f"urn:new:{next(numbers)}").case


def spans(made: Case) -> list[tuple[int, int | None]]:
    return [(one.start, one.end) for one in made.tags]


def test_a_boundary_goes_to_where_the_other_has_it() -> None:
    made = case(tag("core", 0, 10_000), tag("shave", 10_000, 20_000))
    assert spans(settled(made, 10_000, 12_000, tag("core", 0, 12_000))) == [(0, 12_000), (12_000, 20_000)]
    assert spans(settled(made, 8_000, 10_000, tag("shave", 8_000, 20_000))) == [(0, 8_000), (8_000, 20_000)]


def test_nothing_is_a_side_too() -> None:
    made = case(tag("core", 0, 10_000), tag("shave", 10_000, 20_000))
    assert spans(settled(made, 4_000, 15_000, None)) == [(0, 4_000), (15_000, 20_000)]
    assert spans(settled(made, 0, 10_000, None)) == [(10_000, 20_000)]


def test_what_lies_within_another_gets_a_tag_of_its_own() -> None:
    made = case(replace(tag("core", 0, 10_000), note="slow"))
    found = settled(made, 4_000, 6_000, tag("shave", 0, 20_000, performer="teacher"))
    assert spans(found) == [(0, 4_000), (4_000, 6_000), (6_000, 10_000)]
    assert found.tags[1].performer == "teacher"
    assert [one.note for one in found.tags] == ["slow", "", "slow"]
    assert len({one.id for one in found.tags}) == 3


@given(
    edges=st.lists(st.integers(0, 60), min_size=4, max_size=8, unique=True).map(sorted),
    names=st.lists(st.sampled_from(STEPS), min_size=4, max_size=4),
    stretch=st.tuples(st.integers(0, 60), st.integers(0, 60)).filter(lambda one: one[0] < one[1]),
    instead=st.sampled_from([None, *STEPS]),
)
def test_inside_it_says_so_and_outside_nothing_has_changed(
    edges: list[int], names: list[str], stretch: tuple[int, int], instead: str | None
) -> None:
    times = list(zip(edges[::2], edges[1::2], names, strict=False))
    made = case(*(tag(name, 1_000 * start, 1_000 * end) for start, end, name in times))
    start, end = 1_000 * stretch[0], 1_000 * stretch[1]
    found = settled(made, start, end, None if instead is None else tag(instead, 0, 1_000))
    for ms in range(500, 60_000, 1_000):  # between all edges
        assert at(found, ms) == (instead if start <= ms < end else at(made, ms))
    assert len({one.id for one in found.tags}) == len(found.tags)


def test_a_running_tag_goes_on_behind_it() -> None:
    made = case(tag("core", 0, None))
    found = settled(made, 4_000, 6_000, None)
    assert spans(found) == [(0, 4_000), (6_000, None)]


def test_a_facet_that_is_not_there_is_refused() -> None:
    with pytest.raises(UnknownName):
        settle(case(), "colour", Interval(0, 1), None, lambda: "urn:new:0")
