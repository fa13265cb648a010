"""Scores side by side and over cases: what was not done is in no number."""

import pytest

from annotator.measure.over_cases.icc import Agreement, NoAgreement, agreement
from annotator.measure.over_cases.scores import Mean, Scored, common_mean, mean_of, over_cases
from annotator.model.named import Named
from annotator.model.sheet import Item, Level, Score, Sheet
from annotator.model.vocabulary import DEFAULT_LANGUAGE

ITEMS = ("view", "order")


def named(code: str) -> dict[str, str]:
    return {DEFAULT_LANGUAGE: code}


SHEET = Sheet(
    "ours",
    named("ours"),
    items=tuple(Item(code, named(code), levels=tuple(Level(one, {}) for one in range(1, 11))) for code in ITEMS),
    raters=tuple(Named(code, named(code)) for code in ("self", "mentor", "third")),
)


def case(number: int, **given: tuple[int | None, int | None]) -> Scored:
    scores = [Score(rater, item, one) for rater, row in given.items() for item, one in zip(ITEMS, row, strict=True)]
    return Scored(f"op-{number}", tuple(scores), number)


def test_not_done_is_left_out_of_a_mean_and_counted() -> None:
    scores = case(1, self=(2, None), mentor=(None, None)).scores
    assert mean_of(scores, "self") == Mean(2.0, 1, 1)
    assert mean_of(scores, "mentor") == Mean(None, 0, 2)
    assert mean_of(scores, "third") == Mean(None, 0, 0)


def test_means_are_compared_over_the_items_that_all_raters_scored() -> None:
    scores = case(1, self=(2, 10), mentor=(4, None)).scores
    assert common_mean(scores, ("self", "mentor")) == [2.0, 4.0]
    assert common_mean(case(1, self=(2, None), mentor=(None, 3)).scores, ("self", "mentor")) is None


def test_agreement_on_an_item_is_that_of_the_cases_which_every_rater_scored() -> None:
    rows = [(9, 2), (6, 1), (8, 4), (7, 1), (10, 5), (6, 2)]
    cases = [case(at, self=(one, None), mentor=(other, 3)) for at, (one, other) in enumerate(rows, 1)]
    found = over_cases([*cases, case(7, self=(9, None), mentor=(None, 1))], SHEET)
    assert found.raters == ("self", "mentor")
    by_item = {one.item: one.found for one in found.agreements}
    assert by_item["view"] == by_item[""] == agreement(rows)
    assert isinstance(by_item["view"], Agreement)
    assert by_item["order"] == NoAgreement(0, "agreement needs two cases at least that two raters scored")


def test_one_rater_has_nobody_to_agree_with() -> None:
    found = over_cases([case(1, self=(3, 4))], SHEET)
    assert (found.raters, found.agreements) == (("self",), ())


def test_the_mean_moves_with_the_case_number_from_eight_cases_on() -> None:
    cases = [case(at, self=(at, None)) for at in range(1, 9)]
    ((_, moved),) = over_cases(cases, SHEET).movements
    assert moved.per_ten is not None
    assert moved.per_ten.value == pytest.approx(10.0)
    ((_, few),) = over_cases(cases[:7], SHEET).movements
    assert (few.per_ten, few.reason) == (None, "no trend under 8 numbered cases; there are 7")
    ((_, flat),) = over_cases([case(at, self=(5, 5)) for at in range(1, 9)], SHEET).movements
    assert flat.reason == "the means are all the same"
