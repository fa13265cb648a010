"""A review as a page, as a table and as JSON: what each says, and that none of them names anybody."""

import json
import re
from itertools import cycle
from typing import Any

import pytest
from msgspec.structs import replace

from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.review import Asked, review
from annotator.measure.over_cases.series import series
from annotator.model.place import parse_place
from annotator.model.vocabulary import Concept
from annotator.plain_text import is_control
from annotator.publish.report import review_html, review_json, review_table
from annotator.publish.report.plot import time_ticks, whole_ticks
from annotator.publish.report.review_rows import tables
from tests.measure.cases import tag, vocabulary
from tests.measure.over_cases.series_cases import member
from tests.publish.report.review_example import REFERENCES, SECRET, learner, reviewed
from tests.publish.report.test_summary_html import page
from tests.publish.report_case import HARMFUL


@pytest.fixture(scope="module", params=[True, False], ids=["case", "period"])
def html(request: pytest.FixtureRequest) -> str:
    return review_html.dumps(reviewed(10, request.param), vocabulary())


@pytest.fixture(scope="module")
def plain() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(review_json.dumps(reviewed(10)))
    return found


def test_the_page_loads_nothing_and_runs_nothing(html: str) -> None:
    found = page(html)
    names = {name for name, _ in found.elements}
    assert not names & {"script", "img", "link", "iframe", "object", "embed", "image", "use", "a", "form"}
    assert not {name for _, some in found.elements for name in some if name.startswith("on") or name == "style"}
    assert "url(" not in html


def test_the_page_names_nobody(html: str) -> None:
    assert "Invented 1961" not in html
    assert "Case 10" in html or "Cases of a period" in html


def test_the_page_says_how_it_is_to_be_read(html: str) -> None:
    for words in (CAUTION, "What was not measured", "When each step begins and ends", "What these figures rest on"):
        assert words in html
    assert "Another (invented)" in html


def test_the_page_shows_intervals_and_where_to_look(html: str) -> None:
    assert re.search(r"× 0\.87 \(0\.\d\d–0\.\d\d\)", html)
    assert "Look at these cases: 1, 3, 5" in html
    assert html.count('class="band"') > 0


def test_the_two_references_stand_side_by_side() -> None:
    text = review_html.dumps(reviewed(10), vocabulary())
    assert re.search(r"25 gauge.*longer.*fellows.*shorter", text, re.DOTALL)
    assert "longer than one reference and shorter than another" in text


def test_names_are_text_whatever_they_look_like() -> None:
    harm = cycle(HARMFUL)
    concepts = [
        Concept(
            one.iri, one.notation, one.facet, {"en": next(harm)}, broader=one.broader, begins_when={"en": next(harm)}
        )
        for one in vocabulary().concepts
    ]
    words = replace(vocabulary(), concepts=tuple(concepts), name=HARMFUL[5])
    members = []
    for one in learner(2):
        tags = [replace(each, note=f"cause: {next(harm)}") for each in one.case.tags]
        members.append(replace(one, case=replace(one.case, vocabulary=words, tags=tags)))
    references = [replace(one, group=next(harm), source=next(harm)) for one in REFERENCES]
    found = review(series(members, words), members[-1], references, Asked())
    text = review_html.dumps(found, words)
    assert "<script>alert" not in text
    assert "<img src=x" not in text
    assert "&lt;" in text
    assert not any(map(is_control, review_table.dumps(found).replace("\n", "")))


def test_a_review_of_little_has_a_page_too() -> None:
    for members in ([member(1)], [member(1, tag("bleeding", 5, 5), numbered=False)], learner(1)):
        found = review(series(members, vocabulary()), members[0], (), Asked())
        assert "What was not measured" in review_html.dumps(found, vocabulary())
        assert review_table.dumps(found)
        assert json.loads(review_json.dumps(found))["among"] == []


def test_under_eight_cases_the_reason_is_said() -> None:
    found = reviewed(5)
    for text in (review_html.dumps(found, vocabulary()), review_table.dumps(found)):
        assert "No trend under 8 cases; there are 5: " in text
        assert "× " not in text.replace("1 ×", "").replace("2 ×", "").replace("4 ×", "").replace("0.5 ×", "")


def test_under_five_cases_the_times_are_listed_without_quartiles() -> None:
    core = next(line for line in review_table.dumps(reviewed(4)).splitlines() if line.startswith("Core vitrectomy"))
    assert "0:47, 0:51, 0:59" in core
    assert "3 of 3" not in core
    assert "0 of 3" in core
    assert "%" not in core


def test_the_table_says_which_files_to_look_at() -> None:
    text = review_table.dumps(reviewed(10))
    assert text.splitlines()[0] == f"{SECRET} 10 (case 10) beside 9 earlier cases, 2026-03"
    assert text.splitlines()[1] == CAUTION
    assert f"{SECRET} 1, {SECRET} 3, {SECRET} 5" in text


def test_places_of_the_case_have_their_chart() -> None:
    this = member(1, replace(tag("core", 0, 40_000), place=parse_place("4-5 posterior")))
    text = review_html.dumps(review(series([this], vocabulary()), this, (), Asked()), vocabulary())
    assert 'class="retina"' in text


def test_severities_are_counted_as_notes_say_them() -> None:
    notes = ("severity: 2", "severity: 1; cause: x", "Severity: 2", "")
    tags = [replace(tag("bleeding", at, at), note=note) for at, note in enumerate(notes)]
    found = review(series([member(1, *tags)], vocabulary()), None, (), Asked())
    (row,) = next(one for one in tables(found, names_nobody=True) if one.kind == "events").rows
    assert row == ("Bleeding", "1 of 1", "4", "1: once, 2: 2 times")


def test_the_keys_of_the_json(plain: dict[str, Any]) -> None:
    assert set(plain) == {"caution", "case", "among", "left_out", "steps", "events", "cusum", "notes"}
    assert plain["case"]["number"] == 10
    assert [one["number"] for one in plain["among"]] == list(range(1, 10))
    core = next(one for one in plain["steps"] if one["notation"] == "core")
    assert core["net"]["this_ms"] == round(60_000 * 10**-0.2) - 1_000
    assert (core["net"]["shorter"], core["net"]["of"], core["net"]["share_shorter"]) == (0, 9, 0)
    assert core["trend"]["power_law"]["n"] == 10
    assert [one["group"] for one in core["references"]] == ["25 gauge", "fellows"]
    assert plain["cusum"]["look_at"][0]["cases"][0]["number"] == 1
    assert plain["events"]["log"][0]["cause"] == "traction"


def test_what_can_not_be_given_is_null() -> None:
    core = next(one for one in review_json.to_plain(reviewed(4))["steps"] if one["notation"] == "core")
    assert core["net"]["quartiles_ms"] is None
    assert core["net"]["share_shorter"] is None
    assert core["trend"]["power_law"] is None
    assert "under 8 cases" in core["trend"]["reason"]


@pytest.mark.parametrize("longest", [0, 1, 999, 61_000, 3_600_000, 100_000_000])
def test_time_ticks_are_few_and_reach_the_longest(longest: int) -> None:
    ticks = time_ticks(longest)
    assert ticks[0] == 0
    assert ticks[-1] >= longest
    assert len(ticks) <= 7


@pytest.mark.parametrize(("low", "high"), [(1, 1), (1, 8), (1, 40), (3, 99_999), (0, 15)])
def test_whole_ticks_are_few_and_within(low: int, high: int) -> None:
    ticks = whole_ticks(low, high)
    assert 1 <= len(ticks) <= 9
    assert low <= ticks[0] <= ticks[-1] <= high
