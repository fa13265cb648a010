"""The JSON has exactly the agreed keys; its numbers are those of the summary."""

import json

from annotator.measure.durations import summarise
from annotator.publish.report.summary_json import dumps
from tests.publish.report_case import MODEL_EYE, PLACED, harmful


def test_the_shape_to_the_key() -> None:
    text = dumps(summarise(MODEL_EYE))
    assert text.endswith("}\n")
    found = json.loads(text)
    assert list(found) == ["case", "duration_ms", "facet", "rows", "untagged_ms", "overlap_ms", "transitions"]
    assert found["rows"][1] == {
        "notation": "core",
        "label": "Core vitrectomy",
        "visits": 2,
        "total_ms": 45_000,
        "longest_ms": 40_000,
        "mean_ms": 22_500,
        "median_ms": 22_500,
        "share": 0.45,
        "first_start_ms": 10_000,
    }
    assert found["transitions"][0] == {"from": "ports", "to": "core", "count": 1}
    assert (found["case"], found["duration_ms"], found["facet"]) == ("Model eye (invented)", 100_000, "step")
    assert (found["untagged_ms"], found["overlap_ms"]) == (15_000, 5_000)


def test_by_performer_adds_one_key() -> None:
    found = json.loads(dumps(summarise(MODEL_EYE, by_performer=True)))
    assert [(group["performer"], len(group["rows"])) for group in found["by_performer"]] == [
        ("teacher", 2),
        ("trainee", 2),
        (None, 1),
    ]


def test_names_stay_as_they_are() -> None:
    labels = [row["label"] for row in json.loads(dumps(summarise(harmful())))["rows"]]
    assert "<script>alert(1)</script>" in labels


def test_time_by_place_where_a_place_was_said() -> None:
    found = json.loads(dumps(summarise(PLACED)))["places"]
    assert found["placed_ms"] == 80_000
    assert found["fields"][1] == {
        "hour": 5,
        "zone": "posterior",
        "label": "5 o'clock, posterior",
        "total_ms": 80_000,
        "share": 0.8,
    }
    assert [one["total_ms"] for one in found["fields"]] == [40_000, 80_000, 50_000]
