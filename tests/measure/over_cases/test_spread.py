"""The spread of values over cases, and the place of one among them: published quartiles, and properties."""

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.measure.over_cases.spread import FEWEST, Spread, beside, spread, standing

values = st.lists(st.integers(0, 10**8), min_size=1, max_size=60)


def test_quartiles_of_published_data() -> None:
    """Type 7 of Hyndman and Fan of the ten values, as R and numpy print them."""
    found = spread([3, 6, 7, 8, 8, 10, 13, 15, 16, 20])
    assert found == Spread(10, 3, 7.25, 9, 14.5, 20)


def test_of_one_value_everything_is_that_value() -> None:
    assert spread([7]) == Spread(1, 7, 7, 7, 7, 7)


def test_of_no_case_there_is_no_spread() -> None:
    assert spread([]) is None
    assert beside(3, []).standing is None


@given(values)
def test_as_numpy_counts(found: list[int]) -> None:
    got = spread(found)
    assert got is not None
    expected = np.quantile(found, [0, 0.25, 0.5, 0.75, 1])
    assert [got.least, got.lower_quartile, got.median, got.upper_quartile, got.most] == pytest.approx(list(expected))


@given(values, st.randoms())
def test_the_order_of_cases_changes_nothing(found: list[int], random: Random) -> None:
    shuffled = random.sample(found, len(found))
    assert beside(5, shuffled) == beside(5, found)


@given(values, st.integers(1, 10**8))
def test_one_more_shorter_case_moves_the_place_by_one(found: list[int], value: int) -> None:
    before = standing(value, found)
    after = standing(value, [*found, value - 1])
    assert (after.smaller, after.equal, after.of) == (before.smaller + 1, before.equal, before.of + 1)


@given(values, st.integers(0, 10**8))
def test_no_share_under_five_cases(found: list[int], value: int) -> None:
    place = standing(value, found)
    assert (place.share is None) == (len(found) < FEWEST)
    assert place.smaller + place.equal <= place.of
