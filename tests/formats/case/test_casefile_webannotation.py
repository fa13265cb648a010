"""A case file is a Web Annotation collection: the triples that a general RDF library reads, the musts of the model."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from rdflib import RDF, SKOS, BNode, Graph, Literal, Namespace, URIRef
from rdflib.compare import graph_diff, to_isomorphic

from annotator.formats.case import casefile
from annotator.formats.case.jsonld_context import ANNOTATION, OWN, TERMS
from annotator.formats.vocabulary import skos
from annotator.model.case import Case
from annotator.model.vocabulary import Vocabulary
from tests.formats.annotation_terms import ANNOTATION_TERMS, RESERVED
from tests.formats.example_case import CASE, REVISION, VOCABULARY
from tests.strategies import cases

# rdflib's own JSON-LD reader still uses what rdflib itself has given up.
pytestmark = pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated:DeprecationWarning")

DATA = Path(__file__).parents[1] / "data"
OA = Namespace("http://www.w3.org/ns/oa#")


def graph_of(case: Case, revision: int) -> Graph:
    """The case file as rdflib reads it, with the W3C's context from our transcription instead of the network."""
    document = json.loads(casefile.dumps(case, revision))
    assert document["@context"][0] == ANNOTATION
    document["@context"][0] = ANNOTATION_TERMS
    return Graph().parse(data=json.dumps(document), format="json-ld")


def vocabulary_triples(vocabulary: Vocabulary) -> Graph:
    """As Turtle has it, but for what only Turtle says: the order of all concepts, and which have none broader."""
    graph = Graph().parse(data=skos.dumps(vocabulary), format="turtle")
    terms = Namespace(TERMS)
    for ordered in list(graph.objects(predicate=terms.order)):
        members = graph.value(ordered, SKOS.memberList)
        while members is not None and members != RDF.nil:
            rest = graph.value(members, RDF.rest)
            graph.remove((members, None, None))
            members = rest
        graph.remove((ordered, None, None))
        graph.remove((None, None, ordered))
    for predicate in (SKOS.topConceptOf, SKOS.hasTopConcept):
        graph.remove((None, predicate, None))
    return graph


def test_the_example_says_the_triples_of_the_vocabularies() -> None:
    expected = Graph().parse(DATA / "example_case.ttl") + vocabulary_triples(VOCABULARY)
    _, missing, too_many = graph_diff(to_isomorphic(expected), to_isomorphic(graph_of(CASE, REVISION)))
    assert not missing, missing.serialize()
    assert not too_many, too_many.serialize()


def test_our_names_take_nothing_from_the_web_annotation_context() -> None:
    assert not RESERVED & OWN.keys()


@given(cases(most_tags=3))
@settings(max_examples=40)
def test_every_tag_is_an_annotation_of_the_right_times_and_concept(case: Case) -> None:
    graph = graph_of(case, 1)
    assert set(graph.subjects(RDF.type, OA.Annotation)) == {URIRef(tag.id) for tag in case.tags}
    for tag in case.tags:
        bodies = graph.objects(URIRef(tag.id), OA.hasBody)
        concepts = [
            graph.value(body, OA.hasSource) for body in bodies if (body, OA.hasPurpose, OA.classifying) in graph
        ]
        assert concepts == [URIRef(tag.concept)]
        sources = {graph.value(target, OA.hasSource) for target in graph.objects(URIRef(tag.id), OA.hasTarget)}
        assert sources <= {URIRef(recording.id) for recording in case.recordings}
        if tag.note:
            assert (None, RDF.value, Literal(tag.note)) in graph


def test_every_key_that_we_write_becomes_a_triple() -> None:
    """A key without a meaning in the context would vanish from the graph without a word."""
    known = ANNOTATION_TERMS.keys() | OWN.keys() | {"@context"}
    document = json.loads(casefile.dumps(CASE, REVISION))
    del document["@context"]
    assert set(keys_in(document)) - {"en"} <= known


def keys_in(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        yield from value
        for inner in value.values():
            yield from keys_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys_in(inner)


# --- the musts -----------------------------------------------------------------------------------------------


def failing(document: dict[str, Any], kind: str) -> set[str]:
    """The assertions that a document fails, by the names that the W3C's own test suite gives them.

    Repository w3c/web-annotation-tests at adedd9a5, folders `annotations` and `collections`; each says what the Data
    Model of 23 February 2017 says MUST be. Those that a case file can meet or fail are transcribed here.
    """
    return set({"annotation": annotation_faults, "collection": collection_faults, "page": page_faults}[kind](document))


def has_context(document: dict[str, Any]) -> bool:
    contexts = document.get("@context")
    return ANNOTATION in (contexts if isinstance(contexts, list) else [contexts])


def has_type(document: dict[str, Any], expected: str) -> bool:
    types = document.get("type")
    return expected in (types if isinstance(types, list) else [types])


def annotation_faults(document: dict[str, Any], embedded: bool = False) -> Iterator[str]:
    if not embedded and not has_context(document):
        yield "3.1-annotationContextValidated"
    if not isinstance(document.get("id"), str):
        yield "3.1-annotationIdValidated"
    if not has_type(document, "Annotation"):
        yield "3.1-annotationTypeValidated"
    targets = document.get("target", [])
    targets = targets if isinstance(targets, list) else [targets]
    if not targets:
        yield from ("3.1-targetKeyFound", "3.2-targetObjectsRecognized")
    if "body" in document and "bodyValue" in document:
        yield "3.2.5-notBodyBodyValue"
    for key in ("created", "modified"):
        if key in document and not (len(document[key]) == 20 and document[key][10] == "T" and document[key][-1] == "Z"):
            yield f"3.3.1-annotation{key.capitalize()}Validated"
    for target in targets:
        if "selector" in target and not isinstance(target["selector"].get("value"), str):
            yield from ("4.2-selectorValidIfPresent", "4.2-fragmentCssXPathSelectorValid")


def collection_faults(document: dict[str, Any]) -> Iterator[str]:
    if not has_context(document):
        yield "5.1-collectionContextValidated"
    if not has_type(document, "AnnotationCollection"):
        yield "5.1-collectionTypeValidated"
    if not isinstance(document.get("id"), str):
        yield "5.1-collectionIdValidated"
    total = document.get("total", 0)
    if not isinstance(total, int) or total < 0:
        yield "5.1-collectionTotalValidated"
    if total > 0 and "first" not in document:
        yield "5.1-collectionFirstValidated"
    if isinstance(document.get("first"), dict):
        yield from page_faults(document["first"], embedded=True)


def page_faults(document: dict[str, Any], embedded: bool = False) -> Iterator[str]:
    if not embedded and not has_context(document):
        yield "5.2-pageContextValidated"
    if not isinstance(document.get("id"), str):
        yield "5.2-pageIdValidated"
    if not has_type(document, "AnnotationPage"):
        yield "5.2-pageTypeValidated"
    if not document.get("items"):
        yield "5.2-pageItemsValidated"
    if document.get("startIndex", 0) < 0:
        yield "5.2-pageStartIndexValidated"
    for annotation in document.get("items", ()):
        yield from annotation_faults(annotation, embedded=True)


MUSTS = json.loads((DATA / "webannotation_musts.json").read_text("utf-8"))


@pytest.mark.parametrize("case", MUSTS, ids=[case["name"] for case in MUSTS])
def test_our_reading_of_the_musts_is_the_w3c_s(case: dict[str, Any]) -> None:
    """`data/webannotation_musts.json`: documents, each with the assertions of the W3C's suite that it fails."""
    assert failing(case["document"], case["kind"]) == set(case["failed"])


@given(cases())
def test_every_case_file_keeps_the_musts(case: Case) -> None:
    document = json.loads(casefile.dumps(case, 1))
    assert failing(document, "collection") == set()
    assert document["total"] == len(case.tags)
    if case.tags:
        assert document["first"]["partOf"] == document["id"]
        assert document["last"] == document["first"]["id"]
        assert "@context" not in document["first"], "section 5.2: an embedded page should not repeat it"


def test_nothing_but_lists_is_without_a_name() -> None:
    """Bodies, targets, selectors and creators are blank nodes; whatever others may point to has an IRI."""
    graph = graph_of(CASE, REVISION)
    for kind in (OA.Annotation, SKOS.Concept, SKOS.Collection, SKOS.ConceptScheme):
        assert not any(isinstance(subject, BNode) for subject in graph.subjects(RDF.type, kind))
