"""Visits from ranges, and their mean and median, against the standard library and a count of milliseconds."""

import statistics
from fractions import Fraction
from itertools import pairwise
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.measure.stays import mean, median, stays

ranges = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 8)).map(lambda one: (one[0], sum(one))), max_size=8)
lengths = st.lists(st.integers(0, 10_000_000), min_size=1, max_size=9)


@pytest.mark.parametrize(
    ("given_ranges", "visits"),
    [
        ([], []),
        ([(5, 9), (0, 3)], [(0, 3), (5, 9)]),
        ([(0, 5), (5, 9)], [(0, 9)]),
        ([(0, 5), (6, 9)], [(0, 5), (6, 9)]),
        ([(0, 9), (2, 3)], [(0, 9)]),
        ([(0, 4), (2, 9), (8, 11)], [(0, 11)]),
        ([(3, 3)], [(3, 3)]),
        ([(0, 3), (3, 3)], [(0, 3)]),
        ([(3, 3), (3, 3)], [(3, 3)]),
    ],
)
def test_what_overlaps_or_touches_is_one_visit(
    given_ranges: list[tuple[int, int]], visits: list[tuple[int, int]]
) -> None:
    assert stays(given_ranges) == visits


@given(ranges)
def test_visits_cover_what_the_ranges_cover_and_stand_apart(drawn: list[tuple[int, int]]) -> None:
    visits = stays(drawn)
    assert {at for start, end in visits for at in range(start, end)} == {
        at for start, end in drawn for at in range(start, end)
    }
    assert all(end < start for (_, end), (start, _) in pairwise(visits))
    assert stays(visits) == visits == stays(reversed(drawn))


def half_up(exact: Fraction) -> int:
    return floor(exact + Fraction(1, 2))


@given(lengths)
def test_mean_and_median_are_those_of_the_standard_library(drawn: list[int]) -> None:
    exact = [Fraction(one) for one in drawn]
    assert mean(drawn) == half_up(statistics.mean(exact))
    assert median(drawn) == half_up(statistics.median(exact))


@pytest.mark.parametrize(("drawn", "middle"), [([1], 1), ([1, 2], 2), ([2, 1, 9], 2), ([1, 1, 2, 8], 2), ([4, 0], 2)])
def test_a_half_is_rounded_up(drawn: list[int], middle: int) -> None:
    assert median(drawn) == middle
    assert mean([0, 1]) == 1
