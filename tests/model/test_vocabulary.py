"""What a vocabulary answers: names in any writing, labels in any language, and what stands above a concept."""

import pytest
from hypothesis import given

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.vocabulary import Concept, Vocabulary, label_in
from tests.strategies import vocabularies
from tests.vocabulary.drawn_by_hand import IRI, concept, vocabulary

WORDS = vocabulary(
    concept("vitrectomy", facet="phase", inside=True),
    concept("core", label="Core vitrectomy", broader="vitrectomy", alt_label={"en": ("debulking",), "de": ("Kern",)}),
    concept("trim", broader="core"),
    concept("gas", facet="step", alt_label={"en": ("filling",)}),
    concept("oil", facet="technique", alt_label={"en": ("filling",)}),
    concept("filling-line", facet="technique", label="gas"),
    concept("round", broader="about"),
    concept("about", broader="round"),
    concept("lost", broader="nowhere"),
)


@pytest.mark.parametrize("name", ["core", "CORE", "core vitrectomy", "Core–Vitrectomy", "Debulking", "kern"])
def test_a_concept_answers_to_its_notation_its_labels_and_its_synonyms(name: str) -> None:
    assert WORDS.match(name).notation == "core"
    assert WORDS.knows(name)


def test_a_notation_typed_to_the_letter_goes_before_another_s_label() -> None:
    assert WORDS.match("gas").notation == "gas"
    with pytest.raises(AmbiguousName) as several:
        WORDS.match("Gas")
    assert several.value.candidates == ("gas", "filling-line")


def test_a_name_of_several_is_one_within_a_facet() -> None:
    with pytest.raises(AmbiguousName):
        WORDS.match("filling")
    assert WORDS.match("filling", "step").notation == "gas"
    assert WORDS.match("filling", "technique").notation == "oil"


def test_a_name_of_another_facet_is_not_known_in_this_one() -> None:
    with pytest.raises(UnknownName) as unknown:
        WORDS.match("oil", "step")
    assert unknown.value.kind == "step"
    assert "oil" not in unknown.value.nearest
    assert not WORDS.knows("nothing")


def test_what_stands_above_comes_nearest_first() -> None:
    above = [one.notation for one in WORDS.ancestors(WORDS.match("trim"))]
    assert above == ["core", "vitrectomy"]
    assert WORDS.ancestors(WORDS.match("vitrectomy")) == ()
    assert WORDS.ancestors(WORDS.match("lost")) == ()


def test_a_ring_is_gone_round_once() -> None:
    assert [one.notation for one in WORDS.ancestors(WORDS.match("round"))] == ["about"]


@pytest.mark.parametrize(("name", "inside"), [("vitrectomy", True), ("trim", True), ("gas", False), ("round", False)])
def test_what_is_under_something_inside_is_inside(name: str, inside: bool) -> None:
    assert WORDS.is_inside(WORDS.by_notation[name]) == inside


def test_facets_have_their_concepts_in_the_order_of_the_operation() -> None:
    assert [one.notation for one in WORDS.in_facet("technique")] == ["oil", "filling-line"]
    assert WORDS.in_facet("event") == ()
    with pytest.raises(UnknownName, match="did you mean “phase”"):
        WORDS.in_facet("phases")


def test_a_term_is_found_by_its_iri_alone() -> None:
    assert WORDS.concept(f"{IRI}#core") is WORDS.by_notation["core"]
    assert WORDS.concept("core") is None


@pytest.mark.parametrize(
    ("labels", "language", "label"),
    [
        ({"en": "Gas", "de": "Gasfüllung"}, "de", "Gasfüllung"),
        ({"en": "Gas", "de": "Gasfüllung"}, "fr", "Gas"),
        ({"de": "Gasfüllung", "fr": "Gaz"}, "it", "Gasfüllung"),
        ({"en": "Gas", "de": ""}, "de", "Gas"),
        ({}, "en", ""),
    ],
)
def test_a_label_is_in_the_language_else_in_english_else_in_any(
    labels: dict[str, str], language: str, label: str
) -> None:
    assert label_in(labels, language) == label


def test_without_a_label_the_notation_stands_for_it() -> None:
    assert Concept("urn:x", "gas", "step", {}).label() == "gas"


def test_synonyms_and_references_are_sets() -> None:
    one = Concept("urn:x", "a", "step", {}, {"en": ("b", "a", "b"), "de": ()}, usually_after=("z", "y", "z"))
    other = Concept("urn:x", "a", "step", {}, {"en": ("a", "b")}, usually_after=("y", "z"))
    assert one == other
    assert (one.alt_label, one.usually_after) == ({"en": ("a", "b")}, ("y", "z"))


@given(vocabularies())
def test_every_concept_answers_to_each_of_its_names_or_shares_it(drawn: Vocabulary) -> None:
    for one in drawn.concepts:
        assert drawn.match(one.notation) == one
        for name in one.names():
            try:
                found = drawn.match(name)
            except AmbiguousName as several:
                assert one.notation in several.candidates
            else:
                assert found == one or found.notation == name
