"""Ranges, checked against a grid of milliseconds and against `portion`, an independent library of intervals."""

from itertools import pairwise

import portion
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.interval import Interval, gaps, shared, total, union
from tests.strategies import intervals

many = st.lists(intervals(), max_size=8)


def grid(interval: Interval) -> set[int]:
    """The milliseconds that a range covers."""
    return set(range(interval.start, interval.end))


def cover(found: list[Interval]) -> set[int]:
    return set().union(*map(grid, found))


def is_disjoint_and_in_order(found: list[Interval]) -> bool:
    return all(one.end < other.start for one, other in pairwise(found))


@given(many)
def test_a_union_is_what_portion_says(ranges: list[Interval]) -> None:
    expected = portion.empty()
    for interval in ranges:
        expected |= portion.closedopen(interval.start, interval.end)
    found = [] if expected.empty else [Interval(one.lower, one.upper) for one in expected]
    assert union(ranges) == found
    assert total(ranges) == sum(one.upper - one.lower for one in expected if not expected.empty)


@given(many)
def test_a_union_covers_the_same_time_in_the_fewest_ranges(ranges: list[Interval]) -> None:
    found = union(ranges)
    assert cover(found) == cover(ranges)
    assert is_disjoint_and_in_order(found)
    assert total(ranges) == len(cover(ranges))


@given(many, intervals())
def test_gaps_are_what_nothing_covers(ranges: list[Interval], within: Interval) -> None:
    found = gaps(ranges, within)
    assert cover(found) == grid(within) - cover(ranges)
    assert is_disjoint_and_in_order(found)


@given(many, st.integers(2, 4))
def test_shared_time_is_what_several_cover(ranges: list[Interval], depth: int) -> None:
    expected = {ms for ms in cover(ranges) if sum(ms in grid(interval) for interval in ranges) >= depth}
    found = shared(ranges, depth)
    assert cover(found) == expected
    assert is_disjoint_and_in_order(found)


@given(intervals(), intervals())
def test_relations_are_what_the_grid_says(one: Interval, other: Interval) -> None:
    assert one.overlaps(other) == bool(grid(one) & grid(other))
    common = one.common(other)
    assert (grid(common) if common else set()) == grid(one) & grid(other)
    if not one.is_moment and not other.is_moment:
        assert one.contains(other) == (grid(one) >= grid(other))
        assert one.before(other) == (max(grid(one)) + 1 < min(grid(other)))
        assert one.meets(other) == (max(grid(one)) + 1 == min(grid(other)))
    assert one.crosses(other) == other.crosses(one)
    assert not (one.crosses(other) and one.contains(other))
    assert one.length == len(grid(one))


# Allen, "Maintaining knowledge about temporal intervals", Communications of the ACM 26 (1983), figure 2: the relations
# and their converses, each with a drawing; here one example of each.
@pytest.mark.parametrize(
    ("relation", "one", "other"),
    [
        ("before", Interval(0, 1), Interval(2, 3)),
        ("meets", Interval(0, 2), Interval(2, 3)),
        ("contains", Interval(0, 9), Interval(2, 3)),
        ("contains", Interval(0, 9), Interval(0, 3)),
        ("contains", Interval(0, 9), Interval(6, 9)),
        ("contains", Interval(0, 9), Interval(0, 9)),
        ("crosses", Interval(0, 5), Interval(2, 9)),
    ],
)
def test_allen_s_relations_exclude_one_another(relation: str, one: Interval, other: Interval) -> None:
    holding = {name for name in ("before", "meets", "contains", "crosses") if getattr(one, name)(other)}
    assert holding == {relation}
