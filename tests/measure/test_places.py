"""Time by place, against a count on an array of milliseconds and a case worked out by hand."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.measure.places import time_by_place
from annotator.model.case import Case
from annotator.model.place import FIELDS, parse_place
from tests.measure.cases import case, tag
from tests.measure.strategies import LENGTH, cases
from tests.strategies import places


@st.composite
def placed_cases(draw: st.DrawFn) -> Case:
    """Cases whose tags may run, be moments, overlap, reach beyond the end, and have a place or none."""
    drawn = draw(cases(beyond=50))
    return replace(drawn, tags=tuple(replace(one, place=draw(places)) for one in drawn.tags))


@given(placed_cases())
def test_it_is_what_a_count_of_milliseconds_gives(one: Case) -> None:
    grid = np.zeros((len(FIELDS), LENGTH), dtype=np.bool_)
    for found in one.tags:
        for field in found.place:
            grid[FIELDS.index(field), found.start : LENGTH if found.end is None else found.end] = True
    counted = {field: int(row.sum()) for field, row in zip(FIELDS, grid, strict=True) if row.any()}
    times = time_by_place(one)
    assert times.fields == counted
    assert list(times.fields) == list(counted)
    assert times.placed == grid.any(axis=0).sum()


def test_a_step_and_its_technique_at_one_place_count_once() -> None:
    """Worked out by hand: 0:00-0:30 and 0:20-0:40 at 5 o'clock are 40 s; 4 o'clock has the step's 30 s alone."""
    step = replace(tag("core", 0, 30_000), place=parse_place("4-5 posterior"))
    technique = replace(tag("bimanual", 20_000, 40_000), place=parse_place("5 posterior"))
    times = time_by_place(case(step, technique, tag("shave", 50_000, 60_000)))
    assert {field.hour: ms for field, ms in times.fields.items()} == {4: 30_000, 5: 40_000}
    assert times.placed == 40_000
