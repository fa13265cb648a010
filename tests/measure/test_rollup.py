"""Which concepts a tag counts for: its own and those above it, of the facet that is asked for."""

from annotator.measure.rollup import lineages, runs
from annotator.model.case import Tag
from tests.vocabulary.drawn_by_hand import IRI, concept, vocabulary

WORDS = vocabulary(
    concept("vitrectomy", facet="phase"),
    concept("core", broader="vitrectomy"),
    concept("trim", broader="core"),
    concept("bimanual", facet="technique"),
    concept("round", broader="about"),
    concept("about", broader="round"),
)


def of(*terms: str, facet: str) -> dict[str, list[str]]:
    tags = [Tag(f"urn:t:{term}", term if ":" in term else f"{IRI}#{term}", 0, 1) for term in terms]
    found = lineages(WORDS, tags, facet)
    return {iri.rpartition("#")[2]: [one.notation for one in line] for iri, line in found.items()}


def test_a_step_counts_for_itself_and_the_steps_above_it_the_nearest_first() -> None:
    assert of("trim", "core", facet="step") == {"trim": ["trim", "core"], "core": ["core"]}


def test_a_step_counts_for_its_phase_and_no_phase_for_its_steps() -> None:
    assert of("trim", "vitrectomy", facet="phase") == {"trim": ["vitrectomy"], "vitrectomy": ["vitrectomy"]}
    assert of("vitrectomy", facet="step") == {}


def test_what_has_nothing_of_the_facet_or_is_not_known_counts_for_nothing() -> None:
    assert of("bimanual", "https://elsewhere.example/x#core", facet="step") == {}


def test_only_the_terms_of_the_tags_are_there_each_once() -> None:
    assert of("core", "core", facet="step") == {"core": ["core"]}
    assert of(facet="step") == {}


def test_a_ring_of_concepts_ends() -> None:
    assert of("round", facet="step") == {"round": ["round", "about"]}


def test_ranges_of_one_phase_that_follow_each_other_are_one_run() -> None:
    access, vitrectomy = concept("access", facet="phase"), WORDS.by_notation["vitrectomy"]
    ranges = [(0, 5, access), (5, 9, access), (9, 12, vitrectomy), (20, 30, access)]
    assert runs(ranges) == [(0, 9, access), (9, 12, vitrectomy), (20, 30, access)]


def test_what_has_no_phase_ends_a_run_and_what_reaches_further_lasts() -> None:
    access = concept("access", facet="phase")
    assert runs([(0, 5, access), (5, 6, None), (6, 9, access)]) == [(0, 5, access), (6, 9, access)]
    assert runs([(0, 9, access), (2, 5, access)]) == [(0, 9, access)]
    assert runs([]) == []


def test_a_concept_counts_for_itself_and_for_what_is_broader() -> None:
    core, vitrectomy = WORDS.by_notation["core"], WORDS.by_notation["vitrectomy"]
    assert WORDS.lineage(core, "phase") == (vitrectomy,)
    assert WORDS.lineage(core, "step") == (core,)
    assert WORDS.lineage(core, "event") == ()
