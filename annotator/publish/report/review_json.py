"""A review as JSON: integers in ms, shares from 0 to 1, null for what can't be given. Keys: docs/measures.md."""

from typing import Any

from annotator.formats import json_text
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.events import SAID, Events
from annotator.measure.over_cases.review import Against, EventCusum, Review, Share, StepReview
from annotator.measure.over_cases.series import Member
from annotator.measure.over_cases.spread import FEWEST, Beside
from annotator.measure.over_cases.trend import Along, Estimate, NoTrend, Trend
from annotator.model.place import print_place


def dumps(found: Review) -> str:
    """The review as indented JSON with a newline at its end."""
    return json_text.dumps(to_plain(found)) + "\n"


def to_plain(found: Review) -> dict[str, Any]:
    """The review in the shape that the JSON has."""
    return {
        "caution": CAUTION,
        "case": found.this and _member(found.this),
        "among": [_member(one) for one in found.members],
        "left_out": [{"name": one.name, "reason": one.reason, "detail": one.detail or None} for one in found.left_out],
        "steps": [_step(one) for one in found.steps],
        "events": _events(found.events),
        "cusum": found.watched and _cusum(found.watched),
        "notes": list(found.notes),
    }


def _member(one: Member) -> dict[str, Any]:
    return {"name": one.name, "number": one.number, "month": one.month or None}


def _step(one: StepReview) -> dict[str, Any]:
    return {
        "notation": one.notation,
        "label": one.label,
        "begins": one.rules.begins or None,
        "ends": one.rules.ends or None,
        "net": _times(one.net),
        "elapsed": _times(one.elapsed),
        "references": [_against(against) for against in one.against],
        "trend": _trend(one.trend),
        "shares": [_share(share) for share in one.shares],
    }


def _times(one: Beside) -> dict[str, Any]:
    values, place = one.spread, one.standing
    enough = values is not None and values.n >= FEWEST
    return {
        "this_ms": _ms(one.value),
        "n": values.n if values else 0,
        "median_ms": values and _ms(values.median),
        "quartiles_ms": [_ms(values.lower_quartile), _ms(values.upper_quartile)] if values and enough else None,
        "least_ms": values and _ms(values.least),
        "most_ms": values and _ms(values.most),
        "times_ms": [_ms(other) for other in one.others],
        "shorter": place and place.smaller,
        "of": place and place.of,
        "share_shorter": place and place.share,
    }


def _against(one: Against) -> dict[str, Any]:
    reference = one.reference
    return {
        "group": reference.group,
        "n": reference.n,
        "time": str(reference.measured),
        "median_ms": reference.median,
        "quartiles_ms": None
        if reference.lower_quartile is None
        else [reference.lower_quartile, reference.upper_quartile],
        "mean_ms": reference.mean,
        "sd_ms": reference.deviation,
        "begins": reference.begins,
        "ends": reference.ends,
        "source": reference.source,
        "difference_ms": one.difference,
    }


def _trend(found: Trend | NoTrend) -> dict[str, Any]:
    points = [{"number": number, "time_ms": time} for number, time in found.points]
    if isinstance(found, NoTrend):
        return {"reason": found.reason, "points": points, "power_law": None, "smooth": None}
    power = found.power
    return {
        "reason": None,
        "points": points,
        "power_law": {
            "n": power.n,
            "first_ms": _ms(power.first.value),
            "first_interval_ms": [_ms(power.first.low), _ms(power.first.high)],
            "exponent": power.exponent.value,
            "exponent_interval": [power.exponent.low, power.exponent.high],
            "rate": power.rate.value,
            "rate_interval": [power.rate.low, power.rate.high],
            "r_squared": power.fit,
        },
        "smooth": [_along(one) for one in found.smooth],
    }


def _along(one: Along) -> dict[str, Any]:
    return {"number": round(one.number, 3), "time_ms": _ms(one.time), "interval_ms": [_ms(one.low), _ms(one.high)]}


def _share(one: Share) -> dict[str, Any]:
    values = one.beside.spread
    return {
        "facet": one.facet,
        "notation": one.notation,
        "label": one.label,
        "this": one.beside.value,
        "n": values.n if values else 0,
        "median": values and values.median,
        "quartiles": [values.lower_quartile, values.upper_quartile] if values and values.n >= FEWEST else None,
        "points": [{"number": number, "share": share} for number, share in one.movement.points],
        "per_ten_cases": _estimate(one.movement.per_ten),
        "reason": one.movement.reason or None,
    }


def _estimate(found: Estimate | None) -> dict[str, Any] | None:
    return found and {"value": found.value, "interval": [found.low, found.high]}


def _events(found: Events) -> dict[str, Any]:
    return {
        "counts": [
            {
                "notation": one.notation,
                "label": one.label,
                "cases": one.cases,
                "of": one.of,
                "occurrences": one.occurrences,
                "by_case": list(one.by_case),
            }
            for one in found.counts
        ],
        "log": [
            {
                "case": one.name,
                "number": one.number,
                "notation": one.notation,
                "label": one.label,
                "at_ms": one.at,
                "length_ms": one.length,
                "during": list(one.during),
                "performer": one.performer or None,
                "place": print_place(one.place) or None,
                **{word: one.said.get(word) for word in SAID},
            }
            for one in found.log
        ],
    }


def _cusum(one: EventCusum) -> dict[str, Any]:
    of = one.cusum.design
    return {
        "notation": one.notation,
        "label": one.label,
        "acceptable": of.acceptable,
        "unacceptable": of.unacceptable,
        "s": of.step,
        "upper": of.upper,
        "lower": of.lower,
        "path": [
            {"number": one.members[at.case].number, "happened": at.happened, "sum": at.total} for at in one.cusum.path
        ],
        "look_at": [
            {
                "after": one.members[signal.case].number,
                "cases": [{"number": one.members[at].number, "name": one.members[at].name} for at in signal.cases],
            }
            for signal in one.cusum.signals
        ],
    }


def _ms(value: float | None) -> int | None:
    return None if value is None else round(value)
