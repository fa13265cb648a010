"""Lists of facts as files say them: what is read, and what is refused."""

from typing import Any

import pytest

from annotator.errors import InvalidFile
from annotator.formats.case.fields import json_place
from annotator.formats.facts import facts_yaml
from annotator.formats.facts.form import MOST_FACTS, from_plain
from annotator.model.facts import EYE
from annotator.store.facts import find_facts


def fact(**said: Any) -> dict[str, Any]:
    return {"code": "ward", "prefLabel": {"en": "Ward"}, "kind": "text"} | said


def value(**said: Any) -> dict[str, Any]:
    return {"code": "north", "prefLabel": {"en": "North"}} | said


def test_the_built_in_list_says_what_the_library_counts_by() -> None:
    built_in = find_facts()
    assert {
        *("case-number", "month", EYE, "finding", "lens-status", "gauge", "anaesthesia", "tamponade", "gas-strength"),
        *("earlier-surgery", "supervision", "difficulty", "outcome", "outcome-seen"),
        *("consent", "consent-scope", "consent-until"),
    } <= set(built_in.by_code)
    names = {*built_in.by_code}
    assert all(names.issuperset(each.needs) for each in built_in.listed)
    assert all(names.issuperset(each) for each in built_in.together)
    assert all(each.anchor for each in built_in.by_code["difficulty"].values)
    assert all(each.anchor for each in built_in.by_code["supervision"].values)


@pytest.mark.parametrize(
    ("facts", "fault"),
    [
        ("ward", "facts: the facts are written as a list"),
        ([fact()] * (MOST_FACTS + 1), "101 facts are more than the 100 that are read"),
        ([fact(kind="txt")], "facts[0].kind: “txt” is not one of choice, number, month, text; did you mean “text”?"),
        ([fact(kind=None)], "facts[0]: a fact needs “kind”"),
        ([fact(code="two words")], "facts[0].code: “two words” is not a short name"),
        ([fact(kind="choice")], "facts[0]: a choice needs “values”"),
        ([fact(values=[value()])], "facts[0].values: “values” belongs to a choice, and this is a text"),
        ([fact(kind="month", unit="d")], "facts[0].unit: “unit” belongs to a number, and this is a month"),
        ([fact(kind="number", least="5", most=4)], "facts[0].least: 5 is more than the 4 that it may be at most"),
        ([fact(kind="number", decimals=7)], "facts[0].decimals: “7” is not a whole number from 0 to 6"),
        ([fact(kind="choice", values=[value(), value()])], "facts[0].values[1].code: “north” is listed twice"),
        (
            [fact(kind="choice", values=[value(), value(code="n", altLabel={"en": ["NORTH"]})])],
            "facts[0].values[1]: “North” means “north” already",
        ),
        ([fact(), fact()], "facts[1].code: “ward” is listed twice"),
        ([fact(needs="ward")], "facts[0].needs: this must be a list of notations"),
        ([fact(colour="red")], "a fact has no “colour”"),
    ],
)
def test_what_is_no_list_is_refused_with_its_place(facts: object, fault: str) -> None:
    with pytest.raises(InvalidFile) as refused:
        from_plain({"facts": facts}, json_place)
    assert fault in str(refused.value)


@pytest.mark.parametrize("text", ["", "x", "- a", "roles: []", "together: []"])
def test_a_text_that_lists_none_is_refused(text: str) -> None:
    with pytest.raises(InvalidFile, match="not a valid list of facts"):
        facts_yaml.loads(text)


def test_a_fault_is_told_with_its_line() -> None:
    with pytest.raises(InvalidFile, match="line 3: “x” is not one of"):
        facts_yaml.loads("facts:\n  - code: ward\n    kind: x\n    prefLabel: {en: Ward}\n")
