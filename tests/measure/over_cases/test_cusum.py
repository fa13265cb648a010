"""The CUSUM of an event, against published limits and a path that was worked out apart."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.measure.over_cases.cusum import cusum, design


@pytest.mark.parametrize(
    ("acceptable", "unacceptable", "step", "limit"),
    [
        (0.05, 0.10, 0.072358, 2.940554),  # Kestin 1995, obstetric epidural
        (0.10, 0.20, 0.145244, 2.709511),  # Kestin 1995, spinal
        (0.20, 0.40, 0.293305, 2.240170),  # Kestin 1995, arterial line
        (0.05, 0.15, 0.091934, 1.816131),
        (0.04, 0.08, 0.057849, 2.986549),
        (0.15, 0.30, 0.218816, 2.476295),
        (0.35, 0.45, 0.399299, 5.251888),
    ],
)
def test_published_steps_and_limits(acceptable: float, unacceptable: float, step: float, limit: float) -> None:
    """The formula of Kestin, British Journal of Anaesthesia 75 (1995) 805-809, with both errors 0.1."""
    found = design(acceptable, unacceptable)
    assert (found.step, found.upper, found.lower) == pytest.approx((step, limit, -limit), abs=1e-6)


def test_limits_of_unequal_errors() -> None:
    found = design(0.05, 0.10, alpha=0.05, beta=0.2)
    assert (found.upper, found.lower) == pytest.approx((3.710566, -2.085271), abs=1e-6)


def test_a_path_worked_out_apart() -> None:
    """30 cases with the event in the first and the fourth: the sum stays above the lower limit."""
    found = cusum([case in (1, 4) for case in range(1, 31)], design(0.10, 0.20))
    by_case = {at.case + 1: at.total for at in found.path}
    assert [by_case[case] for case in (1, 3, 4, 13, 14, 30)] == pytest.approx(
        [0.854756, 0.564268, 1.419024, 0.111828, -0.033416, -2.357320], abs=2e-5
    )
    assert found.signals == ()


def test_a_signal_names_the_cases_that_made_it_and_begins_anew() -> None:
    happened = [True, False, True, True, True, False, False]
    found = cusum(happened, design(0.10, 0.20))
    assert [(one.case, one.cases) for one in found.signals] == [(4, (0, 2, 3, 4))]
    assert found.path[5].total == pytest.approx(-0.145244, abs=1e-6)


def test_a_long_good_run_does_not_hide_what_follows() -> None:
    found = cusum([False] * 95 + [True] * 4, design(0.10, 0.20))
    assert [one.cases for one in found.signals] == [(95, 96, 97, 98)]


@pytest.mark.parametrize("rates", [(0.2, 0.1), (0.1, 0.1), (0, 0.1), (0.1, 1), (float("nan"), 0.2)])
def test_what_are_no_two_rates_is_refused(rates: tuple[float, float]) -> None:
    with pytest.raises(InvalidEdit, match=r"between 0 and 1"):
        design(*rates)


@given(st.lists(st.booleans(), max_size=80))
def test_the_path_stays_within_its_limits_but_where_it_passes_them(happened: list[bool]) -> None:
    found = cusum(happened, design(0.10, 0.20))
    for at in found.path:
        assert (at.total >= found.design.upper, at.total <= found.design.lower) == (at.passed > 0, at.passed < 0)
    assert all(happened[one] for signal in found.signals for one in signal.cases)
