"""How far people agree, as JSON: integers in ms, shares from 0 to 1, null for what is not defined. docs/measures.md."""

from collections.abc import Mapping, Sequence
from math import floor
from typing import Any

from annotator.formats import json_text
from annotator.measure.agreement.among import Among
from annotator.measure.agreement.boundaries import Boundaries
from annotator.measure.agreement.chance import Chance
from annotator.measure.agreement.compare import Agreement
from annotator.measure.agreement.moments import Moments
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.spread import Spread


def dumps(agreement: Agreement, names: Sequence[str]) -> str:
    """Two people, by the names of their cases."""
    return json_text.dumps({"caution": CAUTION} | _plain(agreement, names)) + "\n"


def dumps_among(found: Among, pairs: Mapping[tuple[str, str], Agreement], facet: str, names: Sequence[str]) -> str:
    """Three people or more, and each pair of them."""
    plain = {
        "caution": CAUTION,
        "facet": facet,
        "cases": list(names),
        "compared_ms": found.within.length,
        "alpha": found.alpha,
        "fleiss_kappa": found.fleiss_kappa,
        "pairs": [_plain(agreement, pair) for pair, agreement in pairs.items()],
    }
    return json_text.dumps(plain) + "\n"


def _plain(found: Agreement, names: Sequence[str]) -> dict[str, Any]:
    return {
        "facet": found.facet,
        "cases": list(names),
        "start_ms": found.within.start,
        "compared_ms": found.within.length,
        **_chance(found.whole),
        "tagged": {"total_ms": found.tagged_time, **_chance(found.tagged)},
        "edit": found.edit,
        "f1": {str(level): value for level, value in found.f1.items()},
        "iou": {name: overlap.iou for name, overlap in found.iou.items()},
        "times": {
            name: {"a_ms": overlap.one, "b_ms": overlap.other, "both_ms": overlap.both}
            for name, overlap in found.iou.items()
        },
        "boundaries": _boundaries(found.boundaries),
        "confusion": [{"a": one, "b": other, "total_ms": ms} for one, other, ms in found.confusion],
        "disagreements": [
            {"start_ms": piece.start, "end_ms": piece.end, "a": piece.names[0], "b": piece.names[1]}
            for piece in found.disagreements
        ],
        "moments": _moments(found.moments),
    }


def _chance(found: Chance) -> dict[str, float | None]:
    return {"kappa": found.kappa, "accuracy": found.accuracy, "ac1": found.ac1}


def _boundaries(found: Boundaries) -> dict[str, Any]:
    return {
        "a": found.one,
        "b": found.other,
        "tolerance_ms": found.tolerance,
        "matched": found.matched,
        "within_share": found.within,
        **_spread(found.differences),
    }


def _moments(found: Moments) -> dict[str, Any]:
    return {
        "a": found.one,
        "b": found.other,
        "tolerance_ms": found.tolerance,
        "matched": found.matched,
        **_spread(found.differences),
        "alone": [
            {"at_ms": one.at, "notation": one.name, "by": one.side, "in_range": one.in_range} for one in found.alone
        ],
    }


def _spread(found: Spread | None) -> dict[str, Any]:
    if found is None:
        return {"median_ms": None, "quartiles_ms": None}
    return {"median_ms": _ms(found.median), "quartiles_ms": [_ms(found.lower_quartile), _ms(found.upper_quartile)]}


def _ms(value: float) -> int:
    """To the nearest ms, a half rounded up."""
    return floor(value + 0.5)
