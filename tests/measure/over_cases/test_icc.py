"""Agreement of raters, held against the published worked table and against what must be so."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.measure.over_cases.icc import Agreement, Coefficient, NoAgreement, agreement

PUBLISHED = ((9, 2, 5, 8), (6, 1, 3, 2), (8, 4, 6, 8), (7, 1, 2, 6), (10, 5, 6, 9), (6, 2, 4, 7))
"""Shrout and Fleiss, Psychological Bulletin 86 (1979) 420-428, Table 2."""

FORMS = {
    "one_way": 0.17,
    "random": 0.29,
    "fixed": 0.71,
    "one_way_mean": 0.44,
    "random_mean": 0.62,
    "fixed_mean": 0.91,
}
"""The same, Table 4."""

MORE_PLACES = {
    "one_way": 0.165742,
    "random": 0.289764,
    "fixed": 0.714841,
    "one_way_mean": 0.442797,
    "random_mean": 0.620051,
    "fixed_mean": 0.909316,
}
"""Worked out from that table with its formulas."""

INTERVALS = {
    "one_way": (-0.133, 0.723),
    "random": (0.019, 0.761),
    "fixed": (0.342, 0.946),
    "one_way_mean": (-0.884, 0.912),
    "random_mean": (0.071, 0.927),
    "fixed_mean": (0.676, 0.986),
}
"""As statistics libraries print them for that table (the package psych of R, ICC), to three places."""

TABLES = st.integers(2, 4).flatmap(
    lambda raters: st.lists(st.lists(st.integers(1, 5), min_size=raters, max_size=raters), min_size=2, max_size=12)
)


def forms(found: Agreement | NoAgreement) -> dict[str, Coefficient]:
    assert isinstance(found, Agreement)
    return {name: getattr(found, name) for name in FORMS}


@pytest.mark.parametrize("form", FORMS)
def test_the_published_table_gives_the_published_coefficients(form: str) -> None:
    value = forms(agreement(PUBLISHED))[form].value
    assert value is not None and round(value, 2) == FORMS[form]
    assert value == pytest.approx(MORE_PLACES[form], abs=1e-6)


@pytest.mark.parametrize("form", INTERVALS)
def test_the_published_table_gives_the_intervals_of_other_programs(form: str) -> None:
    assert forms(agreement(PUBLISHED))[form].interval == pytest.approx(INTERVALS[form], abs=5e-4)


def test_cases_and_raters_are_counted() -> None:
    found = agreement(PUBLISHED)
    assert isinstance(found, Agreement)
    assert (found.cases, found.raters) == (6, 4)


@given(TABLES)
def test_an_interval_holds_its_coefficient_and_is_given_from_five_cases_on(scores: list[list[int]]) -> None:
    found = agreement(scores)
    assume(isinstance(found, Agreement))
    for name, one in forms(found).items():
        assert one.value is None or one.value <= 1
        assert one.interval is None or len(scores) >= 5
        if one.interval and one.value is not None and not name.startswith("random"):
            assert one.interval[0] - 1e-9 <= one.value <= one.interval[1] + 1e-9 <= 1 + 2e-9


@given(TABLES)
def test_a_rater_who_is_always_stricter_changes_nothing_where_just_these_raters_count(scores: list[list[int]]) -> None:
    found = agreement(scores)
    assume(isinstance(found, Agreement))
    stricter = forms(agreement([[row[0] - 10, *row[1:]] for row in scores]))
    for form in ("fixed", "fixed_mean"):
        assert stricter[form].value == pytest.approx(forms(found)[form].value, abs=1e-9)


def test_a_rater_who_is_always_stricter_lowers_what_takes_raters_as_drawn() -> None:
    strict = forms(agreement([(row[0] - 5, *row[1:]) for row in PUBLISHED]))
    usual = forms(agreement([(row[0] - 3, *row[1:]) for row in PUBLISHED]))
    for form in ("one_way", "random"):
        one, other = strict[form].value, usual[form].value
        assert one is not None and other is not None and one < other


def test_a_form_that_cannot_be_worked_out_has_no_value() -> None:
    """The cases do not differ at all, as far as the means of the raters say."""
    found = forms(agreement([(1, 2), (2, 1)]))
    assert found["random_mean"] == found["fixed_mean"] == Coefficient(None, None)


def test_raters_who_agree_wholly_have_all_forms_1_and_no_interval_that_pretends_more() -> None:
    found = forms(agreement([(one, one) for one in (1, 2, 3, 4, 5, 3)]))
    assert set(found.values()) == {Coefficient(1.0, None)}


def test_too_few_cases_and_scores_without_any_difference_have_a_reason_and_no_number() -> None:
    assert agreement([]) == NoAgreement(0, "agreement needs two cases at least that two raters scored")
    assert isinstance(agreement([(1, 2)]), NoAgreement)
    assert isinstance(agreement([(1,), (2,)]), NoAgreement)
    flat = agreement([(3, 4)] * 6)
    assert isinstance(flat, NoAgreement)
    assert "nothing to tell apart" in flat.reason


def test_a_missing_score_is_refused() -> None:
    with pytest.raises(InvalidEdit, match="the same raters"):
        agreement([(1, 2), (3,)])
