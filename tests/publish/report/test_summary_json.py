"""The JSON has exactly the agreed keys; its numbers are those of the summary."""

import json

from annotator.measure.durations import summarise
from annotator.publish.report.summary_json import dumps
from tests.publish.report_case import CORE_BEGINS, CORE_ENDS, MODEL_EYE, PLACED, harmful, saying_when


def test_the_shape_to_the_key() -> None:
    text = dumps(summarise(MODEL_EYE))
    assert text.endswith("}\n")
    found = json.loads(text)
    assert list(found) == [
        *("case", "duration_ms", "operation", "facet", "rows", "untagged_ms", "overlap_ms", "transitions"),
    ]
    assert found["operation"] == {"start_ms": 0, "end_ms": 100_000, "total_ms": 100_000}
    assert found["rows"][1] == {
        "notation": "core",
        "label": "Core vitrectomy",
        "visits": 2,
        "timed": 2,
        "total_ms": 45_000,
        "elapsed_ms": 75_000,
        "longest_ms": 40_000,
        "mean_ms": 22_500,
        "median_ms": 22_500,
        "share": 0.45,
        "operating_share": 0.45,
        "first_start_ms": 10_000,
        "interruptions": [{"notation": "shave", "label": "Base shaving", "total_ms": 20_000}],
        "begins_when": None,
        "ends_when": None,
    }
    assert found["rows"][0]["mean_ms"] is None, "of one occurrence there is no mean"
    assert found["transitions"][0] == {"from": "ports", "to": "core", "count": 1}
    assert (found["case"], found["duration_ms"], found["facet"]) == ("Model eye (invented)", 100_000, "step")
    assert (found["untagged_ms"], found["overlap_ms"]) == (15_000, 5_000)


def test_what_may_overlap_freely_has_no_time_untagged_and_what_lay_within_is_a_key_more() -> None:
    found = json.loads(dumps(summarise(MODEL_EYE, "technique")))
    assert (found["untagged_ms"], found["overlap_ms"], found["rows"][0]["elapsed_ms"]) == (None, None, None)
    found = json.loads(dumps(summarise(MODEL_EYE, of=("core", "shave"), within="event")))
    assert found["within"]["facet"] == "event"
    assert found["within"]["rows"][0]["parts"] == [
        {"notation": "bleeding", "label": "Bleeding", "total_ms": 0, "share": 0.0, "marked": 1},
        {"notation": "pressure", "label": "Pressure raised", "total_ms": 13_500, "share": 0.3, "marked": 0},
    ]
    assert found["within"]["rows"][0]["rest_ms"] == 31_500
    assert (found["together"]["label"], found["together"]["total_ms"]) == ("All of these", 65_000)


def test_each_step_says_when_it_begins_and_ends() -> None:
    rows = json.loads(dumps(summarise(saying_when(MODEL_EYE))))["rows"]
    assert {row["notation"]: (row["begins_when"], row["ends_when"]) for row in rows} == {
        "ports": (None, None),
        "core": (CORE_BEGINS, CORE_ENDS),
        "shave": (None, None),
        "removal": (None, None),
    }


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
