"""Lists of roles as files say them: what is read, and what is refused."""

from typing import Any

import pytest

from annotator.errors import InvalidFile
from annotator.formats.case.fields import json_place
from annotator.formats.roles import roles_yaml
from annotator.formats.roles.form import MOST_ROLES, from_plain, to_plain
from annotator.model.roles import ROLES_OF_1_0, Roles
from annotator.store.roles import find_roles


def role(**said: Any) -> dict[str, Any]:
    return {"code": "lead", "prefLabel": {"en": "lead surgeon"}} | said


def test_the_built_in_list_has_the_three_of_1_0_first_and_then_the_neutral_ones() -> None:
    built_in = find_roles(own=False)
    assert list(built_in.by_code) == [
        *ROLES_OF_1_0.by_code,
        *("operating", "operating under guidance", "operating a part", "assisting", "supervising"),
    ]


@pytest.mark.parametrize(
    ("words", "code"),
    [
        ("Operator", "operating"),
        ("surgeon", "operating"),
        ("assistant", "assisting"),
        ("first assistant", "assisting"),
        ("consultant", "teacher"),
        ("attending", "teacher"),
        ("Resident", "trainee"),
        ("fellow", "trainee"),
        ("supervisor", "supervising"),
        ("Ausbilder", "teacher"),
    ],
)
def test_typed_words_mean_a_built_in_role(words: str, code: str) -> None:
    assert find_roles(own=False).meant(words).code == code


def test_the_rank_that_a_list_once_gave_is_passed_over() -> None:
    assert from_plain([role(level=3)], json_place) == from_plain([role()], json_place)


@pytest.mark.parametrize("roles", [ROLES_OF_1_0, find_roles(own=False)], ids=["of 1.0", "built in"])
def test_what_is_written_reads_back(roles: Roles) -> None:
    assert from_plain(to_plain(roles), json_place) == roles


@pytest.mark.parametrize(
    ("plain", "fault"),
    [
        ([], "roles: there are no roles"),
        ("lead", "roles: the roles are written as a list"),
        ([role()] * (MOST_ROLES + 1), "51 roles are more than the 50 that are read"),
        (["lead"], "roles[0]: a role is written as"),
        ([{"code": "lead"}], "roles[0]: a role needs “prefLabel”"),
        ([role(code="")], "roles[0].code: the text is empty"),
        ([role(code="x" * 201)], "is no name: up to 200 characters"),
        ([role(code="a\nb")], "is no name"),
        ([role(code="\x1b[2J")], "U+001B, which can't be shown"),
        ([role(altLabel={"en": [f"name {number}" for number in range(60)]})], "62 names are more than the 50"),
        ([role(cod="lead")], "did you mean “code”?"),
        ([role(), role()], "roles[1].code: “lead” is listed twice"),
        ([role(), role(code="other", prefLabel={"en": "LEAD"})], "roles[1]: “LEAD” means “lead” already"),
        ([role(code="Not said")], "“Not said” means that nobody said who"),
    ],
)
def test_what_no_list_may_say_is_refused_with_its_place(plain: Any, fault: str) -> None:
    with pytest.raises(InvalidFile) as refused:
        from_plain(plain, json_place)
    assert any(fault in said for said in refused.value.faults), refused.value.faults


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "roles:\n  - code: lead\n    prefLabel: {en: lead}\n    altLabel: many\n",
            "line 4: this must be given by language",
        ),
        ("- code: lead\n", "it begins with “roles:”"),
        ("roles: &a []\n", "anchors (&)"),
        ("roles: [\n", "line 2"),
        ("", "it begins with “roles:”"),
    ],
)
def test_a_file_that_is_no_list_is_refused_with_the_line(text: str, fault: str) -> None:
    with pytest.raises(InvalidFile) as refused:
        roles_yaml.loads(text)
    assert fault in str(refused.value)
