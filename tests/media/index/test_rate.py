"""Whether a rate is constant, through the rounding of containers."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from annotator.media.index.rate import constant_rate

TELEVISION = [Fraction(24_000, 1_001), Fraction(24), Fraction(25), Fraction(30_000, 1_001), Fraction(30), Fraction(50)]
TELEVISION += [Fraction(60_000, 1_001), Fraction(60)]
TICKS = [Fraction(1, 1_000), Fraction(1, 90_000), Fraction(1, 12_800), Fraction(1, 600), Fraction(1, 48_000)]


def rounded(rate: Fraction, tick: Fraction, count: int) -> NDArray[np.int64]:
    """The stamps that a container with this unit stores for a constant rate."""
    return np.array([round(number / (rate * tick)) for number in range(count)], dtype=np.int64)


@pytest.mark.parametrize("rate", TELEVISION)
@pytest.mark.parametrize("tick", TICKS)
def test_rates_of_television_are_found_exactly_without_being_told(rate: Fraction, tick: Fraction) -> None:
    assert constant_rate(rounded(rate, tick, 20_000), tick, ()) == rate


@given(st.integers(1, 240_000), st.integers(1, 1_001), st.sampled_from(TICKS), st.integers(3, 400))
def test_a_declared_rate_that_is_true_is_believed(numerator: int, denominator: int, tick: Fraction, count: int) -> None:
    rate = Fraction(numerator, denominator)
    stamps = rounded(rate, tick, count)
    if rate * tick <= Fraction(2, 3):
        assert constant_rate(stamps, tick, (rate,)) == rate


@pytest.mark.parametrize("tick", TICKS)
def test_a_declared_rate_that_drifts_is_not_believed(tick: Fraction) -> None:
    stamps = rounded(Fraction(30_000, 1_001), tick, 3 * 3_600 * 30)
    assert constant_rate(stamps, tick, (Fraction(2_997, 100), Fraction(30))) == Fraction(30_000, 1_001)


@given(st.integers(1, 98), st.sampled_from(TELEVISION), st.sampled_from(TICKS))
def test_one_missing_picture_makes_it_variable(missing: int, rate: Fraction, tick: Fraction) -> None:
    stamps = np.delete(rounded(rate, tick, 100), missing)
    assert constant_rate(stamps, tick, (rate,)) is None


def test_a_picture_dropped_where_a_tick_is_a_picture() -> None:
    """AVI counts in pictures: there is no rounding to allow for."""
    assert constant_rate(np.delete(np.arange(100), 50), Fraction(1, 25), (Fraction(25),)) is None
    assert constant_rate(np.arange(100), Fraction(1, 25), (Fraction(25),)) == 25


def test_milliseconds_copied_into_a_finer_unit_are_still_constant() -> None:
    stamps = rounded(Fraction(60_000, 1_001), Fraction(1, 1_000), 500) * 16
    assert constant_rate(stamps, Fraction(1, 16_000), (Fraction(60_000, 1_001),)) == Fraction(60_000, 1_001)


def test_a_rate_of_no_standard_is_found_where_it_is_exact() -> None:
    assert constant_rate(np.arange(100) * 3_008, Fraction(1, 90_000), ()) == Fraction(90_000, 3_008)


def test_two_speeds_are_variable() -> None:
    stamps = np.concatenate([np.arange(100) * 3_000, 300_000 + np.arange(100) * 1_500])
    assert constant_rate(stamps, Fraction(1, 90_000), (Fraction(30), Fraction(60), Fraction(40))) is None


def test_a_lone_picture_has_the_rate_that_is_declared() -> None:
    assert constant_rate(np.array([0]), Fraction(1, 1_000), (None, Fraction(25))) == 25
    assert constant_rate(np.array([0]), Fraction(1, 1_000), (None,)) is None
