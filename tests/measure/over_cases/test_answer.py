"""Shares and times over cases: published intervals, few cases, and the order in which the cases come."""

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annotator.measure.over_cases.answer import Done, Moment, answer
from annotator.measure.over_cases.shares import share_of
from annotator.measure.over_cases.times import times_of

MOUSE_SURVIVAL = (94, 197, 16, 38, 99, 141, 23)
"""Days, treatment group: Efron and Tibshirani, An Introduction to the Bootstrap (1993), chapter 2."""


@pytest.mark.parametrize(
    ("cases", "of", "low", "high"),
    [
        # Cruz-Inigo and Berrocal, Int J Retina Vitreous 2017; 3: 38; Jenisch et al., Clin Ophthalmol 2017; 11: 1127
        (1, 12, 0.0149, 0.3539),
        (194, 225, 0.8111, 0.9012),
    ],
)
def test_wilson_intervals_of_published_shares(cases: int, of: int, low: float, high: float) -> None:
    found = share_of(cases, of)
    assert found.share == cases / of
    assert found.interval == pytest.approx((low, high), abs=5e-5)


def test_no_interval_under_five_cases_and_no_share_of_none() -> None:
    assert share_of(3, 4).interval is None
    assert share_of(3, 4).share == 0.75
    assert share_of(0, 0).share is None


def test_the_interval_of_a_median_is_that_of_the_exact_bootstrap() -> None:
    """Of seven values the 95 % percentile interval of all possible samples is 23 to 141, worked out without chance."""
    found = times_of(MOUSE_SURVIVAL)
    assert found.median == 94
    assert found.median_interval == (23, 141)


def test_under_five_times_there_are_only_the_times_and_their_median() -> None:
    found = times_of([4_000, 1_000])
    assert (found.times, found.median) == ((4_000, 1_000), 2_500)
    assert found.quartiles is None
    assert found.median_interval is None
    assert times_of([]).median is None


@settings(max_examples=10, deadline=None)
@given(st.lists(st.integers(1, 10**7), min_size=5, max_size=30), st.randoms())
def test_the_order_of_cases_changes_no_number(times: list[int], random: Random) -> None:
    found, other = times_of(times), times_of(random.sample(times, len(times)))
    assert (found.median, found.quartiles, found.median_interval) == (
        other.median,
        other.quartiles,
        other.median_interval,
    )
    assert found.median_interval is not None
    assert found.median is not None
    assert min(times) <= found.median_interval[0] <= found.median <= found.median_interval[1] <= max(times)


def test_an_answer_counts_cases_adds_up_their_time_and_lists_each_moment() -> None:
    done = [Done("a", [(0, 2_000), (5_000, 6_000)]), Done("b", []), Done("c", [(7_000, 7_000)])]
    found = answer(done, 4)
    assert (found.share.cases, found.share.of) == (2, 4)
    assert found.times.times == (3_000,)  # what was only marked did not last 0 s
    assert found.moments == (Moment("a", 0, 2_000), Moment("a", 5_000, 6_000), Moment("c", 7_000, 7_000))
    assert found.last == Moment("c", 7_000, 7_000)
    assert found.last_end == 6_500


def test_of_no_case_nothing_is_said() -> None:
    found = answer([], 0)
    assert found.share.share is None
    assert (found.last, found.last_end, found.moments) == (None, None, ())
