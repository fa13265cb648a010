"""SKOS in Turtle: what others read of ours, and what we read of others'."""

import pytest
from rdflib import Graph, Literal, URIRef
from rdflib.collection import Collection
from rdflib.namespace import DCTERMS, OWL, RDF, SKOS

from annotator.errors import InvalidFile, InvalidVocabulary
from annotator.formats.vocabulary import skos
from annotator.store.vocabularies import find
from tests.vocabulary.drawn_by_hand import concept, vocabulary

BASE = "https://surgical-step-annotator.example/vocab/vitreoretinal"
TERMS = "https://surgical-step-annotator.example/terms#"
SCHEME = URIRef(BASE)

ELSEWHERE = """
@prefix skos: <http://www.w3.org/2004/02/skos/core#> .
@prefix dcterms: <http://purl.org/dc/terms/> .
@base <https://thesaurus.example/eye/> .

<scheme> a skos:ConceptScheme ; dcterms:title "Eye surgery"@en .
<Vitrectomy> a skos:Concept ; skos:inScheme <scheme> ; skos:prefLabel "Vitrectomy"@en ;
    skos:narrower <Core-Vitrectomy> .
<Core-Vitrectomy> skos:inScheme <scheme> ; skos:prefLabel "Core vitrectomy"@en , "Kernvitrektomie"@de ;
    skos:altLabel "core" ; skos:hiddenLabel "corevitrectomy" ; skos:related <Vitrectomy> ;
    skos:definition "First."@en , "Second."@en .
"""


@pytest.fixture(scope="module")
def graph() -> Graph:
    """The vitreoretinal vocabulary as a general RDF library reads it."""
    return Graph().parse(data=skos.dumps(find("vitreoretinal")), format="turtle")


def test_a_general_library_reads_a_concept_scheme(graph: Graph) -> None:
    assert list(graph.subjects(RDF.type, SKOS.ConceptScheme)) == [SCHEME]
    assert str(graph.value(SCHEME, OWL.versionInfo)) == "1.1"
    assert Literal("Vitreoretinal surgery", lang="en") in set(graph.objects(SCHEME, DCTERMS.title))


def test_every_concept_is_in_the_scheme_with_its_labels(graph: Graph) -> None:
    for one in find("vitreoretinal").concepts:
        node = URIRef(one.iri)
        assert (node, RDF.type, SKOS.Concept) in graph
        assert (node, SKOS.inScheme, SCHEME) in graph
        assert (node, SKOS.notation, Literal(one.notation)) in graph
        labels = {Literal(text, lang=language) for language, text in one.pref_label.items()}
        assert set(graph.objects(node, SKOS.prefLabel)) == labels


def test_top_concepts_are_those_without_a_broader_one(graph: Graph) -> None:
    tops = set(graph.subjects(SKOS.topConceptOf, SCHEME))
    assert tops == set(graph.objects(SCHEME, SKOS.hasTopConcept))
    assert tops == {node for node in graph.subjects(RDF.type, SKOS.Concept) if not graph.value(node, SKOS.broader)}


def test_a_query_finds_the_steps_of_a_phase(graph: Graph) -> None:
    query = """
        SELECT ?notation WHERE {
            ?step skos:broader ?phase ; skos:notation ?notation .
            ?phase skos:prefLabel "Tamponade"@de .
        }"""
    found = {str(row[0]) for row in graph.query(query)}  # type: ignore[index]  # a row, since it is a SELECT
    assert {"air", "gas", "silicone-oil-fill", "silicone-oil-removal"} < found
    assert found == {one.notation for one in find("vitreoretinal").concepts if one.broader == "tamponade"}


def test_facets_are_collections_and_the_order_is_a_list(graph: Graph) -> None:
    steps = URIRef(f"{BASE}/facet/step")
    assert (steps, RDF.type, SKOS.Collection) in graph
    assert (steps, SKOS.member, URIRef(f"{BASE}#core-vitrectomy")) in graph
    assert (steps, URIRef(f"{TERMS}exclusive"), Literal(True)) in graph
    head = graph.value(URIRef(f"{BASE}/order"), SKOS.memberList)
    assert head is not None
    assert [str(node) for node in Collection(graph, head)] == [one.iri for one in find("vitreoretinal").concepts]


def test_the_rest_stands_under_own_terms(graph: Graph) -> None:
    gas = URIRef(f"{BASE}#gas")
    assert (gas, URIRef(f"{TERMS}key"), Literal("g")) in graph
    assert (gas, URIRef(f"{TERMS}usuallyAfter"), URIRef(f"{BASE}#fluid-air-exchange")) in graph


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract", "general"])
def test_ours_keeps_every_integrity_condition(name: str) -> None:
    examined = skos.examine(skos.dumps(find(name)))
    assert (examined.vocabulary, examined.left_out, examined.violations) == (find(name), (), ())


def test_what_it_replaces_has_the_iri_it_had() -> None:
    made = vocabulary(concept("peeling", replaces=("erm-peeling", "ilm-peeling")))
    graph = Graph().parse(data=skos.dumps(made), format="turtle")
    assert set(graph.objects(None, DCTERMS.replaces)) == {
        URIRef("https://department.example/vocab/ours#erm-peeling"),
        URIRef("https://department.example/vocab/ours#ilm-peeling"),
    }
    assert skos.loads(skos.dumps(made)) == made


def test_a_replacement_may_be_said_from_the_other_side() -> None:
    turtle = skos.dumps(vocabulary(concept("peeling")))
    turtle += "<https://department.example/vocab/ours#old> <http://purl.org/dc/terms/isReplacedBy> :peeling ."
    assert skos.loads(turtle).by_notation["peeling"].replaces == ("old",)


def test_a_scheme_from_elsewhere_is_read_as_far_as_it_goes() -> None:
    examined = skos.examine(ELSEWHERE)
    read = examined.vocabulary
    assert (read.iri, read.name, read.version) == ("https://thesaurus.example/eye/scheme", "scheme", "1")
    assert [facet.name for facet in read.facets] == ["step"]
    assert [one.notation for one in read.concepts] == ["core-vitrectomy", "vitrectomy"]
    core = read.by_notation["core-vitrectomy"]
    assert core.iri == "https://thesaurus.example/eye/Core-Vitrectomy"
    assert core.broader == "vitrectomy"
    assert core.alt_label == {"und": ("core",)}
    assert core.definition == {"en": "First.\nSecond."}
    assert skos.loads(skos.dumps(read)) == read


def test_what_has_no_place_is_said() -> None:
    examined = skos.examine(ELSEWHERE)
    assert examined.left_out == (
        "there are no categories: every concept becomes a step",
        "skos:hiddenLabel (1)",
        "skos:related (1)",
    )
    assert [violation.condition for violation in examined.violations] == ["S27"], "related to what is above it"


def test_what_is_there_twice_is_kept_once() -> None:
    more = """
        <Core-Vitrectomy> skos:broader <Access> ; skos:notation "core" , "c1" .
        <Access> skos:inScheme <scheme> ; skos:topConceptOf <scheme> .
        [] skos:inScheme <scheme> .
        <Vitrectomy> skos:broader <https://elsewhere.example/surgery> ."""
    examined = skos.examine(ELSEWHERE + more)
    here = "https://thesaurus.example/eye"
    assert examined.vocabulary.by_notation["c1"].broader == "access"
    assert set(examined.left_out) >= {
        "concepts without an IRI (1)",
        f"<{here}/Core-Vitrectomy>: of 2 notations only “c1” is kept",
        f"<{here}/Core-Vitrectomy>: of 2 broader concepts only access is kept",
        f"<{here}/Vitrectomy>: skos:broader names https://elsewhere.example/surgery, which is not in the vocabulary",
    }


def faults(turtle: str) -> tuple[str, ...]:
    with pytest.raises(InvalidFile) as caught:
        skos.examine(turtle)
    return caught.value.faults


@pytest.mark.parametrize(
    ("before", "after", "says"),
    [
        ("@base <https://thesaurus.example/eye/> .", "", "<scheme> is not a complete IRI; add an @base"),
        (
            '"Kernvitrektomie"@de',
            '"Central vitrectomy"@en',
            "<https://thesaurus.example/eye/Core-Vitrectomy>: there are 2 preferred labels in en (S14)",
        ),
        (
            "<Core-Vitrectomy> skos:inScheme",
            "<vitrectomy> skos:inScheme",
            "<https://thesaurus.example/eye/vitrectomy>, ",
        ),
        ('"Vitrectomy"@en', '"  "@en', "<https://thesaurus.example/eye/Vitrectomy>, prefLabel: the text is empty"),
    ],
)
def test_a_fault_names_the_concept(before: str, after: str, says: str) -> None:
    assert faults(ELSEWHERE.replace(before, after))[0].startswith(says)


def test_one_scheme_is_read() -> None:
    assert faults(ELSEWHERE + "<other> a skos:ConceptScheme .")[0] == "2 concept schemes are named; a vocabulary is one"


def test_one_facet_each() -> None:
    made = skos.dumps(vocabulary(concept("core"), concept("bleeding", "event")))
    members = "<https://department.example/vocab/ours/facet/{}> <http://www.w3.org/2004/02/skos/core#member> :core ."
    assert faults(made + members.format("event")) == (
        "<https://department.example/vocab/ours#core> is in 2 categories; it belongs in one (skos:member)",
    )
    loose = ":new a skos:Concept ; skos:inScheme <https://department.example/vocab/ours> ."
    assert "in no category" in faults(made + loose)[0]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "no turtle",
        "@prefix : <http://x.example/> . :a :b " + "[ :b " * 5_000,
        "<http://a.example/a> <http://a.example/b> 'x'@1 .",
        "<http://a.example/a> <http://a.example/b> '\\UFFFFFFFF' .",
        "?:",
        "x" * 2_000_001,
    ],
    ids=["nothing", "words", "nested", "language", "no character", "variable", "too long"],
)
def test_what_is_no_turtle_is_refused(text: str) -> None:
    assert faults(text)


def test_a_list_in_a_ring_is_refused() -> None:
    ring = (
        "@prefix skos: <http://www.w3.org/2004/02/skos/core#> ."
        "@prefix rdf: <http://www.w3.org/1999/02/22-rdf-syntax-ns#> ."
        f"<https://v.example/> a skos:ConceptScheme ; <{TERMS}facets> _:l ."
        "_:l rdf:first <https://v.example/f> ; rdf:rest _:l ."
    )
    with pytest.raises(InvalidVocabulary):
        skos.loads(ring)
