"""Trends over case numbers: textbook fits, how often the intervals hold, and what has no trend."""

import numpy as np
import pytest

from annotator.measure.over_cases.movement import SharePoint, movement
from annotator.measure.over_cases.trend import FEWEST, NoTrend, Point, Trend, power_law, smoothed, trend


def planted(exponent: float, cases: int, scatter: float, seed: int) -> list[Point]:
    """Cases of somebody whose first takes 500 s, with times that scatter by a factor."""
    random = np.random.default_rng(seed)
    numbers = np.arange(1, cases + 1)
    times = 500_000 * numbers**exponent * np.exp(random.normal(0, scatter, cases))
    return [Point(int(number), round(float(time))) for number, time in zip(numbers, times, strict=True)]


def test_the_textbook_curve_of_80_percent() -> None:
    """100, 80, 64, 51.2 at units 1, 2, 4, 8 (Wright 1936 and any textbook since)."""
    found = power_law([Point(1, 100_000), Point(2, 80_000), Point(4, 64_000), Point(8, 51_200)])
    assert found.exponent.value == pytest.approx(-0.321928, abs=1e-6)
    assert found.rate.value == pytest.approx(0.8)
    assert found.first.value == pytest.approx(100_000)
    assert found.fit == pytest.approx(1)


@pytest.mark.parametrize(
    ("rate", "factors"),
    [
        (0.70, {3: 0.56818, 10: 0.305792, 20: 0.214055}),
        (0.80, {3: 0.702104, 10: 0.47651, 20: 0.381208}),
        (0.85, {3: 0.772915, 10: 0.58282, 20: 0.495397}),
        (0.90, {3: 0.846206, 10: 0.704688, 20: 0.634219}),
    ],
)
def test_published_unit_factors(rate: float, factors: dict[int, float]) -> None:
    """The standard table of unit factors, to as many digits as it has."""
    found = power_law([Point(number, round(1e9 * factor)) for number, factor in {1: 1.0, **factors}.items()])
    assert found.rate.value == pytest.approx(rate, abs=1e-5)


def test_a_noisy_curve_worked_out_apart() -> None:
    """By ordinary least squares of the logarithms, in another program."""
    times = (520_000, 430_000, 395_000, 360_000, 350_000, 335_000, 318_000, 312_000)
    found = trend([Point(number, time) for number, time in enumerate(times, start=1)])
    assert isinstance(found, Trend)
    power = found.power
    assert power.first.value == pytest.approx(515_041.774, abs=0.01)
    assert power.exponent.value == pytest.approx(-0.244635, abs=1e-6)
    assert power.rate.value == pytest.approx(0.844029, abs=1e-6)
    assert power.fit == pytest.approx(0.996159, abs=1e-6)
    assert power.first.value * 16**power.exponent.value == pytest.approx(261_379.8, abs=1)


def test_the_interval_of_the_learning_rate_holds_in_95_of_100() -> None:
    held = 0
    for seed in range(400):
        low, high = power_law(planted(-0.25, 12, 0.25, seed)).exponent[1:]
        held += low <= -0.25 <= high
    assert 0.93 <= held / 400 <= 0.97


def test_the_band_of_the_smoothed_line_holds_about_as_often() -> None:
    held = [
        one.low <= 500_000 * one.number**-0.25 <= one.high
        for seed in range(40)
        for one in smoothed(planted(-0.25, 20, 0.25, seed))
    ]
    assert 0.9 <= sum(held) / len(held) <= 0.98


def test_the_band_is_the_same_each_time() -> None:
    points = planted(-0.2, 15, 0.3, 1)
    assert smoothed(points) == smoothed(points)


def test_the_order_of_the_cases_changes_nothing() -> None:
    points = planted(-0.2, 12, 0.3, 2)
    assert trend(points[::-1]) == trend(points)


def test_no_trend_under_eight_cases() -> None:
    points = planted(-0.2, FEWEST - 1, 0.1, 0)
    found = trend(points)
    assert isinstance(found, NoTrend)
    assert "under 8 cases; there are 7" in found.reason
    assert isinstance(trend([*points, Point(FEWEST, 300_000)]), Trend)


def test_a_case_without_time_takes_no_part() -> None:
    assert isinstance(trend([*planted(-0.2, 7, 0.1, 0), Point(8, 0)]), NoTrend)


def test_no_trend_where_all_cases_have_one_number() -> None:
    found = trend([Point(3, 1_000 * time) for time in range(1, 12)])
    assert isinstance(found, NoTrend)
    assert "different case numbers" in found.reason


def test_times_that_are_all_the_same_have_a_flat_line() -> None:
    found = trend([Point(number, 60_000) for number in range(1, 10)])
    assert isinstance(found, Trend)
    assert found.power.fit is None
    assert found.power.rate.value == pytest.approx(1)
    assert [one.time for one in found.smooth] == pytest.approx([60_000] * len(found.smooth))


def test_several_cases_of_one_number_do_no_harm() -> None:
    found = trend([*planted(-0.2, 8, 0.2, 3), *planted(-0.2, 8, 0.2, 4)])
    assert isinstance(found, Trend)
    assert all(one.low <= one.time <= one.high for one in found.smooth)


def test_a_share_that_grows_by_a_tenth_in_ten_cases() -> None:
    found = movement([SharePoint(number, 0.2 + 0.01 * number) for number in range(1, 21)])
    assert found.per_ten is not None
    assert found.per_ten.value == pytest.approx(0.1)


def test_the_slope_of_a_share_by_hand() -> None:
    """The trainee takes over with the sixth of ten cases: the least-squares slope is 12.5 / 82.5 a case."""
    found = movement([SharePoint(number, float(number > 5)) for number in range(1, 11)])
    assert found.per_ten is not None
    assert found.per_ten.value == pytest.approx(10 * 12.5 / 82.5)
    assert found.per_ten.low > 0


def test_the_interval_of_a_share_that_does_not_move_holds_zero_in_95_of_100() -> None:
    """Of whole operations done by one or the other, as the dice fall."""
    held = 0
    for seed in range(200):
        dice = np.random.default_rng(seed).random(20) < 0.4
        found = movement([SharePoint(number, float(one)) for number, one in enumerate(dice, start=1)])
        held += found.per_ten is not None and found.per_ten.low <= 0 <= found.per_ten.high
    assert 0.93 <= held / 200 <= 0.97


def test_shares_that_are_all_the_same_do_not_move() -> None:
    found = movement([SharePoint(number, 1.0) for number in range(1, 20)])
    assert (found.per_ten, found.reason) == (None, "the shares are all the same")


def test_no_movement_under_eight_cases() -> None:
    found = movement([SharePoint(number, 0.5) for number in range(1, 8)])
    assert found.per_ten is None
    assert "there are 7" in found.reason
