"""A step-duration summary as JSON: integers in ms, shares from 0 to 1. Keys: docs/measures.md."""

from collections.abc import Mapping
from typing import Any

from annotator.formats import json_text
from annotator.formats.tables.tags_csv import TERM
from annotator.measure.durations import Summary
from annotator.measure.rows import Row
from annotator.measure.within import Within
from annotator.model.retina import field_in_words


def dumps(summary: Summary, terms: Mapping[str, str] | None = None) -> str:
    """The summary as indented JSON with a newline at its end; `terms` are those of `to_plain`."""
    return json_text.dumps(to_plain(summary, terms)) + "\n"


def to_plain(summary: Summary, terms: Mapping[str, str] | None = None) -> dict[str, Any]:
    """The summary in the shape that the JSON has, with what a training body calls the roles where `terms` has that."""
    plain: dict[str, Any] = {
        "case": summary.case,
        "duration_ms": summary.duration,
        "operation": _operation(summary),
        "facet": summary.facet,
        "rows": [_row(row) for row in summary.rows],
        "untagged_ms": summary.untagged,
        "overlap_ms": summary.overlap,
        "transitions": [{"from": one.origin, "to": one.to, "count": one.count} for one in summary.transitions],
    }
    if summary.altered:
        plain["altered"] = list(summary.altered)
    if summary.together is not None:
        plain["together"] = _row(summary.together)
    if summary.within is not None:
        plain["within"] = _within(summary.within)
    if summary.places.fields:
        plain["places"] = _places(summary)
    if summary.by_performer is not None:
        plain["by_performer"] = [
            {
                "performer": group.performer,
                **({} if terms is None else {TERM: terms.get(group.performer or "")}),
                "rows": [_row(row) for row in group.rows],
            }
            for group in summary.by_performer
        ]
    return plain


def _operation(summary: Summary) -> dict[str, int] | None:
    found = summary.operation
    return found and {"start_ms": found.start, "end_ms": found.end, "total_ms": found.length}


def _within(within: Within) -> dict[str, Any]:
    return {
        "facet": within.facet,
        "rows": [
            {
                "notation": row.notation,
                "label": row.label,
                "total_ms": row.total,
                "parts": [
                    {
                        "notation": part.notation,
                        "label": part.label,
                        "total_ms": part.total,
                        "share": part.share,
                        "marked": part.marked,
                    }
                    for part in row.parts
                ],
                "rest_ms": row.rest,
            }
            for row in within.rows
        ],
    }


def _places(summary: Summary) -> dict[str, Any]:
    return {
        "placed_ms": summary.places.placed,
        "fields": [
            {
                "hour": field.hour or None,
                "zone": field.zone,
                "label": field_in_words(field),
                "total_ms": ms,
                "share": ms / summary.duration if summary.duration else 0.0,
            }
            for field, ms in summary.places.fields.items()
        ],
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "notation": row.notation,
        "label": row.label,
        "visits": row.visits,
        "timed": row.timed,
        "total_ms": row.total,
        "elapsed_ms": row.elapsed,
        "longest_ms": row.longest,
        "mean_ms": row.mean,
        "median_ms": row.median,
        "share": row.share,
        "operating_share": row.operating_share,
        "first_start_ms": row.first_start,
        "interruptions": [
            {"notation": one.notation, "label": one.label, "total_ms": one.total} for one in row.interruptions
        ],
        "begins_when": row.begins_when or None,
        "ends_when": row.ends_when or None,
    }
