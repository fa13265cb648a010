"""What a typed or spoken name means."""

import pytest

from annotator.errors import AmbiguousName, UnknownName, nearest
from annotator.model.vocabulary import Vocabulary
from tests.vocabulary.drawn_by_hand import concept, vocabulary


@pytest.fixture
def ours() -> Vocabulary:
    return vocabulary(
        concept("vitrectomy", "phase"),
        concept("fluid-air-exchange", label="Fluid-air exchange", alt_label={"en": ("FAX",), "de": ("Luftaustausch",)}),
        concept("peel", label="Peeling", alt_label={"en": ("membrane",)}),
        concept("en-bloc", "technique", label="En bloc", alt_label={"en": ("membrane",)}),
        concept("membrane-work", "phase", label="Membrane work"),
    )


@pytest.mark.parametrize(
    "name",
    ["fluid-air-exchange", "Fluid-air exchange", "FLUID–AIR EXCHANGE", "fluid  air\texchange", "fax", "luftaustausch"],
)
def test_letter_case_hyphens_and_blanks_make_no_difference(ours: Vocabulary, name: str) -> None:
    assert ours.match(name).notation == "fluid-air-exchange"


def test_a_name_of_two_concepts_is_asked_about(ours: Vocabulary) -> None:
    with pytest.raises(AmbiguousName) as caught:
        ours.match("Membrane")
    assert caught.value.candidates == ("peel", "en-bloc")
    assert ours.match("membrane", "technique").notation == "en-bloc"


def test_a_notation_goes_before_a_synonym_of_another() -> None:
    ours = vocabulary(concept("core"), concept("vitrectomy", alt_label={"en": ("core",)}))
    assert ours.match("core").notation == "core"


def test_the_beginning_of_a_word_is_near() -> None:
    assert nearest("delam", ["Membrane work", "Early delamination", "Delamination"]) == (
        "Delamination",
        "Early delamination",
    )
    assert nearest("de", ["Delamination"]) == ()


def test_an_unknown_name_gets_the_nearest(ours: Vocabulary) -> None:
    with pytest.raises(UnknownName) as caught:
        ours.match("fluid air exchnge")
    assert caught.value.nearest[0] == "Fluid-air exchange"
    with pytest.raises(UnknownName, match="no phase “Peeling”"):
        ours.match("Peeling", "phase")
