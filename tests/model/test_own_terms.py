"""Terms that a case adds itself: where they stand, what is refused, and that they are not lost on the way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import AmbiguousName, InvalidEdit, UnknownName
from annotator.formats.case import casefile
from annotator.model.case import Case
from annotator.model.own_terms import add_term, extends, new_term, own_terms, with_own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry
from tests.vocabulary.drawn_by_hand import case, concept, vocabulary

OURS = vocabulary(
    concept("access", "phase"),
    concept("ports", label="Port placement", broader="access"),
    concept("membrane-work", "phase", label="Membrane work"),
    concept("peel", label="Peeling", broader="membrane-work"),
    concept("closure", "phase"),
    concept("forceps", "technique"),
    concept("serrated-forceps", "technique", label="Serrated forceps", broader="forceps"),
    concept("bleeding", "event"),
)
EMPTY = case(OURS, [])


def with_term(name: str, under: str = "", facet: str = "", to: Case = EMPTY) -> Case:
    return add_term(to, new_term(to, name, under, facet)).case


def test_a_term_is_a_step_of_the_phase_that_it_stands_under_and_has_no_key() -> None:
    term = new_term(EMPTY, " macular  rotation ", "Membrane work")
    assert (term.notation, term.facet, term.broader, term.key) == ("macular-rotation", "step", "membrane-work", "")
    assert term.label() == "Macular rotation"
    assert term.iri == f"{EMPTY.id}#term-macular-rotation"


@pytest.mark.parametrize(
    ("under", "facet", "meant"),
    [
        ("closure", "", ("step", "closure")),  # a phase without steps as yet
        ("forceps", "", ("technique", "forceps")),
        ("peel", "", ("step", "peel")),
        ("", "event", ("event", None)),
        ("membrane-work", "technique", ("technique", "membrane-work")),
    ],
)
def test_its_category_is_that_of_what_stands_beside_it(under: str, facet: str, meant: tuple[str, str | None]) -> None:
    term = new_term(EMPTY, "something else", under, facet)
    assert (term.facet, term.broader) == meant


def test_it_stands_behind_those_that_it_stands_beside() -> None:
    order = [one.notation for one in with_term("macular rotation", "membrane work").vocabulary.concepts]
    assert order.index("macular-rotation") == order.index("peel") + 1
    assert [one.notation for one in with_term("oozing", facet="event").vocabulary.concepts][-1] == "oozing"


def test_what_was_done_is_said_and_the_name_is_known_from_then_on() -> None:
    edited = add_term(EMPTY, new_term(EMPTY, "macular rotation", "membrane work"))
    assert edited.says == "“Macular rotation” added under Membrane work"
    assert edited.case.vocabulary.match("rotations of the macula") in own_terms(edited.case)
    assert own_terms(EMPTY) == ()


@pytest.mark.parametrize(("name", "label"), [("iOCT scan", "iOCT scan"), ("ÖL", "ÖL"), ("öl ablassen", "Öl ablassen")])
def test_a_name_keeps_its_own_capitals(name: str, label: str) -> None:
    assert new_term(EMPTY, name, "closure").label() == label


@pytest.mark.parametrize(
    ("name", "under", "facet", "error"),
    [
        ("peeled", "membrane work", "", InvalidEdit),  # known already
        ("", "membrane work", "", InvalidEdit),
        (" % ", "membrane work", "", InvalidEdit),
        ("x" * 201, "membrane work", "", InvalidEdit),
        ("rotation", "", "", InvalidEdit),
        ("rotation", "nowhere", "", UnknownName),
        ("rotation", "", "colour", UnknownName),
        ("done", "membrane work", "", InvalidEdit),  # says nothing
        ("no", "membrane work", "", InvalidEdit),  # only denies
        ("rotation", "", "step", InvalidEdit),  # a step without a phase
        ("rotation", "forceps", "step", InvalidEdit),  # a step under an instrument would count for it
        ("rotation", "peel", "technique", InvalidEdit),
    ],
)
def test_what_is_no_term_is_refused(name: str, under: str, facet: str, error: type[Exception]) -> None:
    with pytest.raises(error):
        new_term(EMPTY, name, under, facet)


def test_two_terms_of_one_spelling_have_notations_of_their_own() -> None:
    twice = with_term("Rotation α", "closure", to=with_term("rotation β", "closure"))
    assert len({one.iri for one in own_terms(twice)}) == 2


@given(st.text(max_size=40))
def test_a_case_with_any_term_is_read_back(name: str) -> None:
    try:
        grown = with_term(name, "closure")
    except (InvalidEdit, AmbiguousName):
        return
    assert casefile.loads(casefile.dumps(grown, 0))[0].vocabulary == grown.vocabulary


def test_a_vocabulary_that_has_grown_extends_the_one_before() -> None:
    grown = with_term("macular rotation", "membrane work").vocabulary
    assert extends(grown, OURS)
    assert extends(OURS, OURS)
    assert not extends(OURS, grown)
    assert not extends(replace(grown, version="2"), OURS)
    assert not extends(replace(grown, concepts=tuple(reversed(grown.concepts))), OURS)


# --- carried to another vocabulary ---------------------------------------------------------------------------------


def carried(tagged: Case, new: Vocabulary) -> list[str]:
    kept = with_own_terms(tagged, new)
    return [kept.by_iri[tag.concept].notation for tag in carry(tagged, kept).tags]


@pytest.fixture
def tagged() -> Case:
    grown = with_term("macular rotation", "membrane work")
    return replace(grown, tags=case(OURS, [(own_terms(grown)[0].iri, 0, 1_000)]).tags)


def test_a_term_that_the_other_vocabulary_lacks_goes_with_the_case(tagged: Case) -> None:
    assert carried(tagged, vocabulary(*OURS.concepts, version="2")) == ["macular-rotation"]
    assert carried(tagged, vocabulary(concept("peel"))) == ["macular-rotation"], "also where nothing is above it"


def test_a_term_that_the_other_vocabulary_calls_the_same_becomes_that_one(tagged: Case) -> None:
    new = vocabulary(*OURS.concepts, concept("rotation", label="Rotation of the macula", broader="membrane-work"))
    assert carried(tagged, new) == ["rotation"]
    assert len(with_own_terms(tagged, new).concepts) == len(new.concepts)


def test_a_term_that_another_concept_replaces_becomes_that_one(tagged: Case) -> None:
    new = vocabulary(*OURS.concepts, concept("turning", replaces=("macular-rotation",)))
    assert carried(tagged, new) == ["turning"]
