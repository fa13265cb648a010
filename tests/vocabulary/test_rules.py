"""What a check finds: each rule by a vocabulary that breaks it, and one that does not."""

from typing import Any

import pytest

from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.vocabulary import Concept, Facet, Kind, Vocabulary
from annotator.model.vocabulary_rules import RESERVED_KEYS, check
from tests.vocabulary.drawn_by_hand import EVENT, IRI, PHASE, STEP, TECHNIQUE, concept, vocabulary

ACCESS = concept("access", "phase")


def found(*concepts: Concept, **more: Any) -> list[tuple[str, str]]:
    """Kind and notation of each finding."""
    checked = vocabulary(*concepts, **more) if more else _only_used_facets(concepts)
    return [(finding.kind, finding.notation) for finding in check(checked)]


def _only_used_facets(concepts: tuple[Concept, ...]) -> Vocabulary:
    used = {concept.facet for concept in concepts}
    return vocabulary(*concepts, facets=tuple(facet for facet in (PHASE, STEP, TECHNIQUE, EVENT) if facet.name in used))


def test_a_sound_vocabulary_has_no_findings() -> None:
    assert found(ACCESS, concept("ports", broader="access", key="p"), concept("bleeding", "event", key="1")) == []


def test_a_key_is_had_once_in_either_case() -> None:
    assert found(concept("core", key="c"), concept("closure", key="C")) == [("key", "closure")]


@pytest.mark.parametrize("key", RESERVED_KEYS)
def test_keys_of_the_playback_are_not_free(key: str) -> None:
    assert found(concept("core", key=key)) == [("key", "core")]


@pytest.mark.parametrize("key", ["ab", "\u202e", "\n"])
def test_a_key_is_one_character_that_shows(key: str) -> None:
    assert found(concept("core", key=key)) == [("key", "core")]


@pytest.mark.parametrize("notation", ["Core", "core_vitrectomy", "core.vitrectomy", "körper"])
def test_notations_had_better_be_plain(notation: str) -> None:
    assert found(concept(notation)) == [("notation", notation)]


def test_names_of_facets_had_better_be_plain() -> None:
    assert found(concept("core", "Steps"), facets=(Facet("Steps", {"en": "Steps"}),)) == [("notation", "")]


@pytest.mark.parametrize("label", ["Core", "core", "CORE", "co re", "Co–re", "co-re"])
def test_a_name_means_one_concept(label: str) -> None:
    other = concept("other", alt_label={"de": ("core", "co re")})
    assert found(other, concept("vitrectomy", label=label)) == [("shared name", "vitrectomy")]


def test_a_concept_may_have_one_name_in_two_languages() -> None:
    assert found(concept("gas", alt_label={"de": ("Gas",), "en": ("GAS",)})) == []


def test_a_ring_of_broader_concepts_is_found_once() -> None:
    ring = [concept("a", "event", broader="b"), concept("b", "event", broader="c"), concept("c", "event", broader="a")]
    assert found(concept("d", "event", broader="a"), *ring) == [("cycle", "a")]


def test_a_concept_is_not_under_itself() -> None:
    assert found(concept("a", "event", broader="a")) == [("cycle", "a")]


def test_the_usual_order_does_not_run_in_a_ring() -> None:
    assert found(concept("a", usually_after=("b", "c")), concept("b", usually_after=("a",)), concept("c")) == [
        ("cycle", "a")
    ]


def test_a_step_stands_under_a_phase() -> None:
    loose = concept("ports")
    assert found(ACCESS, loose) == [("hierarchy", "ports")]
    assert found(loose) == [], "where there are no phases, a step needs none"


def test_a_step_may_stand_under_a_step_of_a_phase() -> None:
    assert found(ACCESS, concept("ports", broader="access"), concept("infusion", broader="ports")) == []


def test_a_label_is_no_synonym_of_itself() -> None:
    """SKOS S13: the labels of a concept are disjoint, by text and language."""
    assert found(concept("peel", label="Peel", alt_label={"en": ("Peel",)})) == [("S13", "peel")]
    assert found(concept("peel", label="Peel", alt_label={"de": ("Peel",)})) == []


def test_a_concept_is_neither_scheme_nor_collection() -> None:
    """SKOS S9 and S37."""
    assert found(concept("a", "event", iri=IRI)) == [("S9", "a")]
    assert found(concept("a", "event", iri=f"{IRI}/facet/event")) == [("S37", "a")]


def test_a_concept_does_not_replace_itself() -> None:
    assert found(concept("peel", replaces=("peel",))) == [("replaces", "peel")]


def test_an_empty_facet_is_named() -> None:
    assert found(concept("core"), facets=(STEP, TECHNIQUE)) == [("facet", "")]


def test_findings_come_in_the_order_of_the_concepts() -> None:
    assert found(concept("b", key="k"), concept("A", key="j"), facets=(STEP, TECHNIQUE)) == [
        ("facet", ""),
        ("key", "b"),
        ("notation", "A"),
        ("key", "A"),
    ]


def test_long_chains_are_walked() -> None:
    """As long as a vocabulary may be: no recursion, no squared work that a user would notice."""
    count = 5_000
    chain = [
        concept(
            f"c{n}", "event", broader=f"c{n + 1}" if n + 1 < count else None, usually_after=(f"c{(n + 1) % count}",)
        )
        for n in range(count)
    ]
    assert found(*chain) == [("cycle", "c0")]


def test_rules_that_nothing_can_keep_are_found() -> None:
    rules = Rules(UsualTime(60_000, 20_000), usual_place=("posterior", "the left side"), needs_before=("gas",))
    says = [finding.says for finding in check(_only_used_facets((concept("gas", rules=rules),)))]
    assert says == [
        "the usual time is at least 1:00 and at most 0:20; the first must be the shorter",
        "“the left side” is not a place on the retina; write one such as 4-6 mid-periphery (usualPlace)",
        "a concept can't be named in its own needsBefore",
    ]
    sound = Rules(UsualTime(20_000, 20_000), ("4-6 mid-periphery",), never_with=("air",))
    assert found(concept("air"), concept("gas", rules=sound)) == []


def test_names_of_kinds_had_better_be_plain() -> None:
    kinds = (Kind("Macular", {"en": "Macular"}),)
    assert found(concept("core"), facets=(STEP,), kinds=kinds) == [("notation", "")]


def test_a_step_says_when_it_begins_and_when_it_ends() -> None:
    neither, one = concept("core", begins_when={}, ends_when={}), concept("gas", ends_when={})
    says = [finding.says for finding in check(_only_used_facets((neither, one, concept("bleeding", "event"))))]
    assert says == [
        "nothing says when the step begins (beginsWhen) or ends (endsWhen)",
        "nothing says when the step ends (endsWhen)",
    ]
