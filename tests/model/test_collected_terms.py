"""The own terms of several cases gathered for their department: as one what means the same, and nothing twice."""

from msgspec.structs import replace

from annotator.model.case import Case
from annotator.model.collected_terms import collect
from annotator.model.own_terms import own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry
from tests.model.test_own_terms import EMPTY, OURS, with_term
from tests.vocabulary.drawn_by_hand import IRI, case, concept, vocabulary


def one_of(number: int, name: str, under: str = "membrane work", tags: int = 0) -> Case:
    """A case of its own with a term, tagged so many times."""
    grown = with_term(name, under, to=replace(EMPTY, id=f"urn:example:case:{number}"))
    term = own_terms(grown)[0].iri
    return replace(grown, tags=case(OURS, [(term, at, at + 1) for at in range(tags)]).tags)


def collected(*cases: Case, into: Vocabulary = OURS) -> tuple[list[str], tuple[str, ...]]:
    found = collect(cases, into)
    assert found.vocabulary.concepts == (*into.concepts, *found.added)
    return [one.notation for one in found.added], found.says


def test_terms_that_mean_the_same_become_one_called_as_most_call_it() -> None:
    cases = (
        one_of(1, "rotation of the macula", tags=2),
        one_of(2, "macular rotation", tags=1),
        one_of(3, "Macular rotation"),
        one_of(4, "suturing", "closure"),
    )
    assert collected(*cases) == (
        ["rotation-of-the-macula", "suturing"],
        (
            "“Macular rotation” under Membrane work: 3 cases, 3 tags, also written “Rotation of the macula”",
            "“Suturing” under Closure: 1 case, 0 tags",
        ),
    )
    rotation, _ = collect(cases, OURS).added
    assert rotation.alt_label == {"en": ("Rotation of the macula",)}
    assert rotation.iri == f"{IRI}#rotation-of-the-macula"


def test_each_case_is_carried_to_what_its_term_became() -> None:
    cases = one_of(1, "rotation of the macula", tags=1), one_of(2, "macular rotation", tags=1)
    found = collect(cases, OURS)
    for one in cases:
        assert [tag.concept for tag in carry(one, found.vocabulary).tags] == [found.added[0].iri]


def test_what_the_vocabulary_has_already_is_not_added() -> None:
    into = vocabulary(*OURS.concepts, concept("rotation", label="Rotation of the macula", broader="membrane-work"))
    assert collected(one_of(1, "macular rotation"), into=into) == (
        [],
        ("“Macular rotation” is there already, as “Rotation of the macula”",),
    )


def test_what_is_only_similar_is_added_and_told() -> None:
    notations, says = collected(one_of(1, "macular rotation"), one_of(2, "macular rotatoin"))
    assert notations == ["macular-rotation", "macular-rotatoin"]
    assert says[1].endswith("; similar to “Macular rotation”")


def test_terms_of_two_categories_are_two() -> None:
    technique = with_term("rotation", "forceps", to=replace(EMPTY, id="urn:example:case:9"))
    notations, _ = collected(one_of(1, "rotation"), technique)
    assert notations == ["rotation", "rotation-2"]


def test_what_stood_under_something_that_the_vocabulary_lacks_stands_alone_and_a_category_that_it_lacks_is_told() -> (
    None
):
    into = vocabulary(concept("core"))
    notations, says = collected(one_of(1, "rotation"), into=into)
    assert (notations, says) == (["rotation"], ("“Rotation” in the category step: 1 case, 0 tags",))
    without = replace(into, facets=tuple(one for one in into.facets if one.name != "technique"))
    technique = with_term("twisting", "forceps", to=replace(EMPTY, id="urn:example:case:9"))
    assert collected(technique, into=without) == ([], ("“Twisting” is left out: ours has no category technique",))
