"""Scores as JSON, for other programs; what can't be given is null."""

from typing import Any

from annotator.formats import json_text
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.icc import Agreement, Coefficient, NoAgreement
from annotator.measure.over_cases.movement import Movement
from annotator.measure.over_cases.scores import OverCases, Scored, mean_of, raters_in
from annotator.model.sheet import Sheet

_FORMS = ("one_way", "random", "fixed", "one_way_mean", "random_mean", "fixed_mean")


def of_case(case: Scored, sheet: Sheet) -> str:
    """One case: `scores` by rater and item; an item that was not done is null, one that nobody scored is not there."""
    raters = raters_in([case], sheet)
    scores = {rater: {one.item: one.score for one in case.scores if one.rater == rater} for rater in raters}
    means = {rater: mean_of(case.scores, rater)._asdict() for rater in raters}
    return json_text.dumps(_head(sheet) | {"case": case.name, "number": case.number, "scores": scores, "means": means})


def of_cases(found: OverCases, sheet: Sheet) -> str:
    """Many cases: the six forms of agreement by item, and the movement of the means by rater."""
    agreement = [{"item": one.item or None, **_agreement(one.found)} for one in found.agreements]
    movement = {rater: _movement(moved) for rater, moved in found.movements}
    said = {"cases": found.cases, "raters": found.raters, "agreement": agreement, "movement": movement}
    return json_text.dumps(_head(sheet) | said)


def _head(sheet: Sheet) -> dict[str, Any]:
    return {"caution": CAUTION, "sheet": sheet.code, "source": sheet.source}


def _agreement(found: Agreement | NoAgreement) -> dict[str, Any]:
    if isinstance(found, NoAgreement):
        return {"cases": found.cases, "reason": found.reason, **dict.fromkeys(_FORMS)}
    return {"cases": found.cases, "reason": None, **{form: _coefficient(getattr(found, form)) for form in _FORMS}}


def _coefficient(one: Coefficient) -> dict[str, Any]:
    return {"value": one.value, "interval": one.interval}


def _movement(moved: Movement) -> dict[str, Any]:
    points = [{"number": one.number, "mean": one.share} for one in moved.points]
    change = moved.per_ten and {"value": moved.per_ten.value, "interval": (moved.per_ten.low, moved.per_ten.high)}
    return {"points": points, "per_ten_cases": change, "reason": moved.reason or None}
