"""How ranges lie to occurrences, against a grid of milliseconds."""

from hypothesis import given
from hypothesis import strategies as st

from annotator.measure.over_cases.relations import Relation, holds, shared_parts
from annotator.measure.stays import Stay, stays

ranges = st.tuples(st.integers(0, 20), st.integers(0, 6)).map(lambda one: (one[0], one[0] + one[1]))
occurrences = st.lists(ranges, max_size=5).map(stays)


def on_grid(some: list[Stay]) -> set[int]:
    return {at for start, end in some for at in range(start, end)}


@given(ranges, occurrences)
def test_what_is_shared_is_what_both_have_on_a_grid(one: Stay, others: list[Stay]) -> None:
    parts = shared_parts(one, others)
    if one[0] == one[1]:
        assert parts == ([one] if one[0] in on_grid(others) else [])
    else:
        assert on_grid(parts) == on_grid([one]) & on_grid(others)
    assert holds(Relation.DURING, one, others) == bool(parts)


@given(ranges, occurrences)
def test_within_is_all_of_it_in_one_occurrence(one: Stay, others: list[Stay]) -> None:
    asked = on_grid([one]) or {one[0]}
    assert holds(Relation.WITHIN, one, others) == any(asked <= on_grid([other]) for other in others)


@given(ranges, occurrences)
def test_after_is_once_any_has_ended(one: Stay, others: list[Stay]) -> None:
    assert holds(Relation.AFTER, one, others) == any(end <= one[0] for _, end in others)
