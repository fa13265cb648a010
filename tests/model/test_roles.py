"""Who did it, as data: what words mean a role, which is higher, and lists that are joined."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import FEW_NAMES, UnknownName
from annotator.model.roles import ROLES_OF_1_0, Role, Roles
from annotator.model.words.forms import folded

OURS = Roles(
    (
        Role("lead", {"en": "lead surgeon", "de": "Operateur"}, {"en": ("operator", "first surgeon")}),
        Role("help", {"de": "Assistenz"}),
    )
)


@pytest.mark.parametrize("words", ["lead", " LEAD ", "Lead-Surgeon", "operateur", "first  surgeon"])
def test_code_label_and_synonyms_mean_a_role(words: str) -> None:
    assert OURS.meant(words).code == "lead"


@pytest.mark.parametrize(
    ("words", "listed"),
    [("helpp", "“help” and “lead”"), ("Assistent", "“help” and “lead”"), ("nurse", "“lead” and “help”")],
)
def test_what_means_none_is_refused_with_the_list_the_nearest_first(words: str, listed: str) -> None:
    with pytest.raises(UnknownName) as refused:
        OURS.meant(words)
    assert str(refused.value) == f"There is no performer “{words}”; available: {listed}"


def test_an_endless_list_is_not_told_whole() -> None:
    many = Roles(tuple(Role(f"role {number}", {"en": f"role {number}"}) for number in range(50)))
    with pytest.raises(UnknownName) as refused:
        many.meant("role 499")
    assert "available: “role 49”, " in str(refused.value)
    assert str(refused.value).count("“role ") == FEW_NAMES + 1


def test_a_role_is_called_by_its_label() -> None:
    assert [OURS.called("lead"), OURS.called("lead", "de"), OURS.called("help")] == [
        "lead surgeon",
        "Operateur",
        "Assistenz",
    ]
    assert [OURS.called("gone"), OURS.called(None)] == ["gone", ""]


def test_roles_stand_in_the_order_of_the_list() -> None:
    assert OURS.order(["gone", "help", "lead"]) == ["lead", "help", "gone"]


ROLES = st.builds(
    Role,
    code=st.sampled_from(["lead", "help", "Help", "teacher", "x"]),
    label=st.dictionaries(st.sampled_from(["en", "de"]), st.sampled_from(["lead surgeon", "teacher", "y"]), min_size=1),
    synonyms=st.dictionaries(st.just("en"), st.lists(st.sampled_from(["operator", "z"]), min_size=1).map(tuple)),
)


@given(st.lists(ROLES, max_size=6))
def test_in_lists_that_are_joined_no_name_means_two_and_every_code_means_something(others: list[Role]) -> None:
    joined = OURS.with_those(others)
    assert joined.listed[:2] == OURS.listed
    meant: dict[str, str] = {}
    for role in joined.listed:
        assert role.called()
        assert all(meant.setdefault(folded(name), role.code) == role.code for name in role.names())
    assert all(joined.meant(role.code) for role in others)


def test_the_three_of_1_0_keep_their_codes_and_their_order() -> None:
    assert list(ROLES_OF_1_0.by_code) == ["teacher", "trainee", "trainee under guidance"]
