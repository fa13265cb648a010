"""Case files of earlier versions are brought up step by step; later ones and other files are refused."""

from copy import deepcopy
from typing import Any

import pytest

from annotator.errors import InvalidFile, NewerSchema
from annotator.formats.case.upgrades import NAME, UPGRADES, VERSION, upgrade, version_of


def document(version: object, *ranges: str) -> dict[str, Any]:
    items = [{"id": f"urn:{at}", "target": [{"selector": {"value": one}}]} for at, one in enumerate(ranges)]
    return {"schemaName": NAME, "schemaVersion": version, "first": {"items": items}}


def selectors(of: dict[str, Any]) -> list[tuple[str, bool]]:
    return [(one["target"][0]["selector"]["value"], one.get("moment", False)) for one in of["first"]["items"]]


def test_a_moment_of_the_first_version_becomes_a_range_of_a_millisecond() -> None:
    """Media Fragments 1.0, 4.2.1 allows no range without length."""
    old = document(1, "t=12.5,12.5", "t=1,2", "t=3", "t=0,0")
    upgrade(old)
    assert selectors(old) == [("t=12.5,12.501", True), ("t=1,2", False), ("t=3", False), ("t=0,0.001", True)]
    assert old["schemaVersion"] == VERSION


def test_a_document_of_today_is_left_as_it_is() -> None:
    today = document(VERSION, "t=12.5,12.5")
    before = deepcopy(today)
    upgrade(today)
    assert today == before


def test_it_goes_as_far_as_is_asked_and_no_further() -> None:
    old = document(1, "t=1,1")
    upgrade(old, to=1)
    assert (old["schemaVersion"], selectors(old)) == (1, [("t=1,1", False)])
    upgrade(old, to=2)
    assert (old["schemaVersion"], selectors(old)) == (2, [("t=1,1.001", True)])


def test_each_step_is_one_version() -> None:
    assert len(UPGRADES) + 1 == VERSION == 5


def test_what_another_program_kept_under_a_key_of_today_is_kept_under_another() -> None:
    old = document(4) | {"facts": {"of": "theirs"}}
    upgrade(old)
    assert ("facts" in old, old["factsOfVersion4"]) == (False, {"of": "theirs"})


@pytest.mark.parametrize(
    "first",
    [
        None,
        [],
        "x",
        {"items": None},
        {"items": "x"},
        {"items": [None, 1, [], {"target": 3}, {"target": [1, {}, {"selector": 1}, {"selector": {"value": 5}}]}]},
        {"items": [{"target": [{"selector": {"value": "t=x,x"}}, {"selector": {"value": "t=,"}}]}]},
    ],
)
def test_what_is_faulty_is_left_for_the_reader_to_say(first: object) -> None:
    old = {"schemaName": NAME, "schemaVersion": 1, "first": first}
    before = deepcopy(old)
    upgrade(old)
    assert old == before | {"schemaVersion": VERSION}


@pytest.mark.parametrize("version", [None, 0, -1, True, "1", 1.0, [1]])
def test_what_is_no_version_is_said(version: object) -> None:
    with pytest.raises(InvalidFile, match="is not a version") as refused:
        version_of(document(version))
    assert not isinstance(refused.value, NewerSchema)


@pytest.mark.parametrize("name", [None, "", "another program's case", NAME.upper()])
def test_another_file_is_no_case(name: object) -> None:
    with pytest.raises(InvalidFile, match="a case file is JSON that says “schemaName”"):
        version_of(document(1) | {"schemaName": name})


def test_a_later_version_asks_for_the_newest_program() -> None:
    with pytest.raises(NewerSchema, match="install the latest version"):
        version_of(document(VERSION + 1))
    with pytest.raises(NewerSchema):
        upgrade(document(1), to=VERSION + 1)
