"""What may be said of a case, and what of it a case keeps."""

from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit, UnknownName
from annotator.model.case import Case, Eye
from annotator.model.edits import clear_fact, set_fact
from annotator.model.facts import Fact, FactKind, KnownFact, KnownFacts, lacking
from annotator.store.facts import find_facts
from tests.formats.example_case import CASE
from tests.strategies import facts

KNOWN = find_facts()


@pytest.mark.parametrize(
    ("name", "words", "kept"),
    [
        ("gauge", "25G", "25-gauge"),
        ("Gauge", "25 GAUGE", "25-gauge"),
        ("finding", "erm", "epiretinal-membrane"),
        ("Befund", "Makulaforamen", "macular-hole"),
        ("side", "OS", "left"),
        ("case number", " 007 ", "7"),
        ("gas strength", "20", "20"),
        ("gas-strength", "12.50", "12.5"),
        ("gas-strength", "100.0", "100"),
        ("month", "2026-11", "2026-11"),
        ("month", "2026", "2026"),
        ("finding-in-words", "  two   breaks  at 10 o’clock ", "two breaks at 10 o’clock"),
        ("difficulty", "3", "difficulty-3"),
    ],
)
def test_typed_words_mean_a_fact(name: str, words: str, kept: str) -> None:
    assert KNOWN.meant(name, words).value == kept


@pytest.mark.parametrize(
    ("name", "words", "says"),
    [
        ("gage", "25G", "no fact “gage”; available: “gauge”"),
        ("gauge", "24G", "no value of gauge “24G”; available:"),
        ("finding", "macula hole", "no value of finding “macula hole”; available: “macular-hole”"),
        ("month", "2026-11-05", "is not a month; a day may tell whose operation it was; write 2026-11, or the year"),
        ("month", "5.11.2026", "a day may tell whose"),
        ("month", "2026-13", "is not a month; write 2026-11"),
        ("month", "٢٠٢٦", "is not a month"),
        ("case-number", "0", "“0” is not a whole number from 1 to 99999"),
        ("case-number", "1e3", "is not a whole number"),
        ("case-number", "12.5", "is not a whole number"),
        ("gas-strength", "20,5", "is not a number with up to 1 decimals, such as 0.5, from 1 to 100"),
        ("gas-strength", "101", "from 1 to 100"),
        ("finding-in-words", "x" * 201, "201 characters are more than the 200 that are kept"),
        ("finding-in-words", " \n ", "nothing is said; clear the fact instead"),
        ("gauge", "", "nothing is said"),
    ],
)
def test_what_a_fact_can_not_say_is_refused_with_what_it_can(name: str, words: str, says: str) -> None:
    with pytest.raises((InvalidEdit, UnknownName)) as refused:
        KNOWN.meant(name, words)
    assert says in str(refused.value)


def test_words_that_look_like_an_identity_are_taken_only_where_they_name_nobody() -> None:
    with pytest.raises(InvalidEdit, match=r"looks like a date with its day.*must not tell who somebody is"):
        KNOWN.meant("finding-in-words", "fell on 3.4.2026")
    assert KNOWN.meant("finding-in-words", "fell on 3.4.2026", names_nobody=True).value == "fell on 3.4.2026"


@given(st.integers(1, 99999))
def test_a_number_is_kept_as_it_is_counted(number: int) -> None:
    assert KNOWN.meant("case-number", f"{number:08}"[-8:]).value == str(number)


@given(st.lists(facts, max_size=6), st.permutations(range(6)))
def test_clearing_takes_back_what_was_said(said: list[Fact], order: list[int]) -> None:
    case = CASE
    for fact in said:
        case = set_fact(case, KNOWN, fact).case
    names = [fact.name for fact in case.facts]
    assert len(names) == len(set(names))
    for fact in said:
        assert case.fact(fact.name) == next(one.value for one in reversed(said) if one.name == fact.name)
    for index in order:
        if index < len(said) and case.fact(said[index].name):
            case = clear_fact(case, KNOWN, said[index].name).case
    assert [fact for fact in case.facts if fact in CASE.facts] == [
        fact for fact in CASE.facts if fact.name not in {one.name for one in said}
    ]


def test_saying_a_fact_anew_leaves_it_where_it_is_and_keeps_what_is_unknown_of_it() -> None:
    known = Fact("gauge", "25-gauge", {"x-source": "theatre list"})
    case = set_fact(
        Case("urn:x", "", CASE.vocabulary, CASE.recordings, facts=(known,)), KNOWN, Fact("month", "2026")
    ).case
    edited = set_fact(case, KNOWN, Fact("gauge", "27-gauge"))
    assert edited.says == "Gauge: 27 gauge"
    assert edited.case.facts == (Fact("gauge", "27-gauge", known.extra), Fact("month", "2026"))


def test_the_eye_is_said_as_a_fact_and_kept_as_the_eye() -> None:
    right = set_fact(CASE, KNOWN, Fact("eye", "right")).case
    assert (right.eye, right.facts, right.all_facts[0]) == (Eye.RIGHT, CASE.facts, Fact("eye", "right"))
    assert clear_fact(right, KNOWN, "eye").case.eye is None
    with pytest.raises(InvalidEdit, match="neither the right nor the left eye"):
        set_fact(CASE, KNOWN, Fact("eye", "middle"))


def test_what_is_not_said_can_not_be_cleared() -> None:
    with pytest.raises(UnknownName, match="no fact in this case “tamponade”"):
        clear_fact(CASE, KNOWN, "tamponade")


def test_what_no_list_knows_is_told_as_it_stands_and_last() -> None:
    theirs = Fact("our-score", "B")
    assert (KNOWN.called("our-score"), KNOWN.told(theirs)) == ("our-score", "B")
    told = KNOWN.in_order((theirs, Fact("gas-strength", "20"), Fact("finding", "gone")))
    assert [KNOWN.told(fact) for fact in told] == ["gone", "20 %", "B"]


def test_a_fact_that_needs_another_says_so() -> None:
    assert lacking(KNOWN, [Fact("outcome", "aim-reached")]) == [("outcome", "outcome-seen")]
    assert lacking(KNOWN, [Fact("outcome", "aim-reached"), Fact("outcome-seen", "1-month"), Fact("x", "y")]) == []


def test_a_number_of_a_department_may_have_decimals() -> None:
    length = KnownFact(
        "axial-length", {"en": "Axial length"}, kind=FactKind.NUMBER, least=10, most=40, decimals=2, unit="mm"
    )
    meant = partial(KnownFacts((length,)).meant, "axial length")
    assert (meant("23.45").value, length.told("23.45")) == ("23.45", "23.45 mm")
    with pytest.raises(InvalidEdit, match="up to 2 decimals"):
        meant("23.456")
