"""A step-duration summary as JSON: integers in ms, shares from 0 to 1. Keys: docs/measures.md."""

from collections.abc import Sequence
from typing import Any

from annotator.formats import json_text
from annotator.measure.durations import Row, Summary
from annotator.model.retina import field_in_words


def dumps(summary: Summary) -> str:
    """The summary as indented JSON with a newline at its end."""
    return json_text.dumps(to_plain(summary)) + "\n"


def to_plain(summary: Summary) -> dict[str, Any]:
    """The summary in the shape that the JSON has."""
    plain: dict[str, Any] = {
        "case": summary.case,
        "duration_ms": summary.duration,
        "facet": summary.facet,
        "rows": _rows(summary.rows),
        "untagged_ms": summary.untagged,
        "overlap_ms": summary.overlap,
        "transitions": [{"from": one.origin, "to": one.to, "count": one.count} for one in summary.transitions],
    }
    if summary.places.fields:
        plain["places"] = _places(summary)
    if summary.by_performer is not None:
        plain["by_performer"] = [
            {"performer": group.performer, "rows": _rows(group.rows)} for group in summary.by_performer
        ]
    return plain


def _places(summary: Summary) -> dict[str, Any]:
    return {
        "placed_ms": summary.places.placed,
        "fields": [
            {
                "hour": field.hour,
                "zone": field.zone,
                "label": field_in_words(field),
                "total_ms": ms,
                "share": ms / summary.duration if summary.duration else 0.0,
            }
            for field, ms in summary.places.fields.items()
        ],
    }


def _rows(rows: Sequence[Row]) -> list[dict[str, Any]]:
    return [
        {
            "notation": row.notation,
            "label": row.label,
            "visits": row.visits,
            "total_ms": row.total,
            "longest_ms": row.longest,
            "mean_ms": row.mean,
            "median_ms": row.median,
            "share": row.share,
            "first_start_ms": row.first_start,
        }
        for row in rows
    ]
