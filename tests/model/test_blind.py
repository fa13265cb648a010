"""A blind copy holds nothing of the first person's but what both need."""

import pytest
from msgspec.structs import replace

from annotator.model.blind import blind_copy, say_done, unfinished
from annotator.model.case import UNTITLED
from annotator.model.facts import Fact
from annotator.model.own_terms import add_term, new_term
from tests.formats.example_case import CASE, FIRST, SECOND


def test_nothing_of_the_first_one_is_left() -> None:
    telling = replace(
        CASE,
        title="Peel with a TELLING tear",
        recordings=(replace(FIRST, extra={"note": "TELLING"}), SECOND),
        extra={"summary": "TELLING"},
        tags=[replace(tag, note="TELLING", author="TELLING", words="TELLING") for tag in CASE.tags],
    )
    telling = add_term(telling, new_term(telling, "TELLING manoeuvre", under="vitrectomy")).case
    copy = blind_copy(telling, "urn:uuid:copy")
    assert "telling" not in repr(copy).casefold()
    assert (copy.title, len(copy.tags), copy.blind_to, copy.is_done) == (UNTITLED, 0, CASE.id, False)
    assert (copy.recordings, copy.vocabulary) == (CASE.recordings, CASE.vocabulary)
    assert (copy.eye, copy.kind, copy.roles) == (CASE.eye, CASE.kind, CASE.roles)


def test_every_field_of_a_case_is_decided_on() -> None:
    """A new field of a case is left out of a blind copy until somebody has thought of it here."""
    kept = {"id", "title", "vocabulary", "recordings", "eye", "kind", "roles", "blind_to", "facts"}
    left_out = {"tags", "extra", "is_done"}
    assert set(type(CASE).__struct_fields__) == kept | left_out


def test_of_the_facts_only_those_on_consent_go_along() -> None:
    consent = Fact("consent", "consent-withdrawn")
    known = replace(CASE, facts=(Fact("finding", "macular-hole"), consent, Fact("outcome", "attached")))
    assert blind_copy(known, "urn:uuid:copy").facts == (consent,)


@pytest.mark.parametrize(
    ("first_done", "second_done", "expected"),
    [(False, False, [0, 1]), (True, False, [1]), (False, True, [0]), (True, True, [])],
)
def test_it_is_blind_until_both_are_done(first_done: bool, second_done: bool, expected: list[int]) -> None:
    second = blind_copy(CASE, "urn:uuid:copy")
    first = say_done(CASE).case if first_done else CASE
    assert unfinished([first, say_done(second).case if second_done else second]) == expected


def test_cases_that_are_not_blind_need_not_be_done() -> None:
    assert unfinished([CASE, replace(CASE, id="urn:uuid:other")]) == []
