"""An edge that two tags share moves as one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.model import edits
from tests.model.test_edits import case, ranges, tag

CORE, SHAVING = tag("core", 0, 5_000), tag("shaving", 5_000, 9_000)


@pytest.mark.parametrize("at", [4_000, 6_000])
def test_neighbours_stay_neighbours(at: int) -> None:
    for one, edge in ((SHAVING, "start"), (CORE, "end")):
        edited = edits.move_boundary(case(CORE, SHAVING), one.id, edge, at)  # type: ignore[arg-type]  # two words
        assert ranges(edited) == [("core", 0, at), ("shaving", at, 9_000)]
    assert edited.says == f"Core ends at 00:00:0{at // 1000}.000, beside Shaving"


def test_an_edge_that_touches_nothing_moves_alone() -> None:
    edited = edits.move_boundary(case(CORE, tag("shaving", 6_000, 9_000)), CORE.id, "end", 5_500)
    assert ranges(edited) == [("core", 0, 5_500), ("shaving", 6_000, 9_000)]
    assert edited.says == "Core ends at 00:00:05.500"


def test_neither_is_left_without_length() -> None:
    for at in (0, 9_000, 9_500):
        with pytest.raises(InvalidEdit):
            edits.move_boundary(case(CORE, SHAVING), CORE.id, "end", at)


@given(st.integers(1, 8_999), st.integers(1, 8_999))
def test_there_and_back_is_nothing(there: int, was: int) -> None:
    before = case(tag("core", 0, was), tag("shaving", was, 9_000))
    name = f"urn:shaving:{was}"
    moved = edits.move_boundary(before, name, "start", there).case
    assert edits.move_boundary(moved, name, "start", was).case == before
