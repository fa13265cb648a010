"""Scores of several raters by one sheet: side by side in a case, and over cases. Definitions: docs/measures.md.

A score is that of the sheet's levels, without unit. What was not done, and what nobody scored, is left out of every
number, and counted.
"""

from collections.abc import Sequence
from typing import NamedTuple

import msgspec

from annotator.measure.over_cases.icc import Agreement, NoAgreement, agreement
from annotator.measure.over_cases.movement import Movement, SharePoint, movement
from annotator.model.sheet import Score, Sheet


class Mean(NamedTuple):
    """What one rater gave in a case: the mean over `scored` items, None where there are none."""

    mean: float | None
    scored: int
    not_done: int


class Scored(msgspec.Struct, frozen=True):
    """A case with its scores; `number` in its surgeon's own count, None where nobody says."""

    name: str
    scores: tuple[Score, ...]
    number: int | None = None


class ItemAgreement(msgspec.Struct, frozen=True):
    """How far raters agree on one item, by its code, or, where that is empty, on the mean of each case."""

    item: str
    found: Agreement | NoAgreement


class OverCases(msgspec.Struct, frozen=True):
    """Scores over cases.

    raters      codes of those who scored anything, in the order of the sheet
    agreements  of each item, and of the means; empty where fewer than two raters scored anything
    movements   by rater how the mean of a case moves with the case number
    """

    cases: int
    raters: tuple[str, ...]
    agreements: tuple[ItemAgreement, ...]
    movements: tuple[tuple[str, Movement], ...]


def mean_of(scores: Sequence[Score], rater: str) -> Mean:
    """The mean of what a rater gave in one case."""
    given = [one.score for one in scores if one.rater == rater]
    done = [one for one in given if one is not None]
    return Mean(sum(done) / len(done) if done else None, len(done), len(given) - len(done))


def common_mean(scores: Sequence[Score], raters: Sequence[str]) -> list[float] | None:
    """The mean of each rater over the items of a case that all of them scored; None where there are none."""
    rows = [row for item in dict.fromkeys(one.item for one in scores) if (row := _row(scores, item, raters))]
    return [sum(column) / len(rows) for column in zip(*rows, strict=True)] if rows else None


def raters_in(cases: Sequence[Scored], sheet: Sheet) -> tuple[str, ...]:
    """The codes of those who scored anything, in the order of the sheet."""
    there = {one.rater for case in cases for one in case.scores}
    return tuple(rater.code for rater in sheet.raters if rater.code in there)


def over_cases(cases: Sequence[Scored], sheet: Sheet) -> OverCases:
    """Agreement on each item and on the means, and how the means move."""
    raters = raters_in(cases, sheet)
    return OverCases(
        len(cases),
        raters,
        tuple(_agreements(cases, sheet, raters)) if len(raters) > 1 else (),
        tuple((rater, _movement(cases, rater)) for rater in raters),
    )


def _agreements(cases: Sequence[Scored], sheet: Sheet, raters: Sequence[str]) -> list[ItemAgreement]:
    found = [
        ItemAgreement(item.code, agreement([row for case in cases if (row := _row(case.scores, item.code, raters))]))
        for item in sheet.items
    ]
    means = [row for case in cases if (row := common_mean(case.scores, raters))]
    return [*found, ItemAgreement("", agreement(means))]


def _row(scores: Sequence[Score], item: str, raters: Sequence[str]) -> list[float] | None:
    """What each rater gave an item; None where one of them gave no score."""
    given = {one.rater: one.score for one in scores if one.item == item}
    row = [float(score) for rater in raters if (score := given.get(rater)) is not None]
    return row if len(row) == len(raters) else None


def _movement(cases: Sequence[Scored], rater: str) -> Movement:
    means = ((case.number, mean_of(case.scores, rater).mean) for case in cases)
    points = [SharePoint(number, mean) for number, mean in means if number is not None and mean is not None]
    return movement(points, of="means")
