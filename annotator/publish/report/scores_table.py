"""Scores for reading: a case with its raters side by side, and what raters' scores say over cases."""

from collections.abc import Sequence

from annotator.errors import listed
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.icc import Coefficient, NoAgreement
from annotator.measure.over_cases.movement import PER, Movement
from annotator.measure.over_cases.scores import Mean, OverCases, Scored, mean_of, raters_in
from annotator.model.sheet import NOT_DONE, Score, Sheet
from annotator.publish.report.table import aligned

_MEAN = "Mean"
_ABSENT = "–"


def of_case(case: Scored, sheet: Sheet) -> str:
    """Each item with what each rater gave it, and the means."""
    raters = raters_in([case], sheet)
    given = {(one.item, one.rater): said(one) for one in case.scores}
    rows = [(item.called(), *(given.get((item.code, rater), _ABSENT) for rater in raters)) for item in sheet.items]
    means = (_MEAN, *(_mean(mean_of(case.scores, rater)) for rater in raters))
    return "\n".join(
        [
            *_head(sheet),
            f"{case.name}{f' (case {case.number})' if case.number else ''}",
            "",
            aligned(("Item", *(sheet.rater(rater).called() for rater in raters)), [*rows, means]),
            f"“{NOT_DONE}” is left out of the means.",
            "",
        ]
    )


def of_cases(found: OverCases, sheet: Sheet) -> str:
    """How far raters agree on each item, and how the means move."""
    lines = [*_head(sheet), f"{found.cases} case{'s' * (found.cases != 1)} with scores", ""]
    lines += _agreements(found, sheet) if found.agreements else ["No agreement: one rater at most has scored anything"]
    lines += ["", *(f"{sheet.rater(rater).called()}: {_movement(moved)}" for rater, moved in found.movements)]
    return "\n".join([*lines, "", f"“{NOT_DONE}” is left out of everything.", ""])


def said(one: Score) -> str:
    """A score as it is written."""
    return NOT_DONE if one.score is None else str(one.score)


def _head(sheet: Sheet) -> Sequence[str]:
    return f"{sheet.called()} ({sheet.source})", CAUTION, ""


def _mean(mean: Mean) -> str:
    if mean.mean is None:
        return f"{_ABSENT} ({mean.not_done} {NOT_DONE})"
    not_done = f", {mean.not_done} {NOT_DONE}" if mean.not_done else ""
    return f"{mean.mean:.2f} (of {mean.scored}{not_done})"


def _agreements(found: OverCases, sheet: Sheet) -> list[str]:
    """A table of what could be worked out, and below it why the rest could not."""
    raters = listed([sheet.rater(one).called() for one in found.raters], "and")
    rows: list[Sequence[str]] = []
    reasons: list[str] = []
    for one in found.agreements:
        label = sheet.item(one.item).called() if one.item else "Mean of a case"
        if isinstance(one.found, NoAgreement):
            reasons.append(f"{label}: {one.found.reason}")
        else:
            forms = one.found.one_way, one.found.random, one.found.fixed
            rows.append((label, str(one.found.cases), *map(_coefficient, forms)))
    table = [aligned(("Item", "cases", "one-way (1,1)", "random (2,1)", "fixed (3,1)"), rows).rstrip("\n")]
    said = f"Agreement of {raters} over the cases that all of them scored (intraclass correlation, 95 % interval)"
    return [said, *(table if rows else []), *reasons]


def _coefficient(one: Coefficient) -> str:
    if one.value is None:
        return _ABSENT
    return f"{one.value:.2f}" + (f" ({one.interval[0]:.2f} to {one.interval[1]:.2f})" if one.interval else "")


def _movement(moved: Movement) -> str:
    if moved.per_ten is None:
        return moved.reason
    change = moved.per_ten
    return f"the mean changes by {change.value:+.2f} in {PER} cases ({change.low:+.2f} to {change.high:+.2f})"
