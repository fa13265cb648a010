"""A vocabulary as SKOS in Turtle, and back.

SKOS Simple Knowledge Organization System Reference, W3C Recommendation 18 August 2009. The vocabulary is a
skos:ConceptScheme, each facet a skos:Collection of its concepts, the order of the operation a skos:OrderedCollection.
What SKOS has no term for stands under terms of our own (`annotator.formats.vocabulary.skos_terms`).
"""

import logging
from collections.abc import Mapping
from typing import NamedTuple, Self

from rdflib import Graph, Literal, URIRef
from rdflib.collection import Collection
from rdflib.namespace import DCTERMS, OWL, RDF, SKOS
from rdflib.term import BNode, Node

from annotator.errors import InvalidFile, InvalidVocabulary
from annotator.formats.vocabulary.form import WHAT, implied_iri
from annotator.formats.vocabulary.plain_values import print_length
from annotator.formats.vocabulary.skos_conditions import Violation, violations
from annotator.formats.vocabulary.skos_reader import Reading, read
from annotator.formats.vocabulary.skos_terms import BASE, TERMS
from annotator.model.concept_rules import Rules
from annotator.model.vocabulary import Concept, Facet, Kind, Vocabulary
from annotator.model.vocabulary_rules import facet_iri, kind_iri

LARGEST = 2_000_000
"""Characters that are read."""

MOST_TRIPLES = 100_000
"""Statements that are read; five thousand concepts take some ten each."""

_NO_TURTLE = "This is not readable Turtle"

# It remarks on odd IRIs while parsing; they are refused with a sentence of our own afterwards.
logging.getLogger("rdflib.term").setLevel(logging.ERROR)


class Examined(NamedTuple):
    """What a Turtle text holds, what of it has no place in our form, and what in it breaks SKOS."""

    vocabulary: Vocabulary
    left_out: tuple[str, ...]
    violations: tuple[Violation, ...]


class _Bounded(Graph):
    """A graph that refuses to grow without end: a text of few characters a statement would take long to read."""

    def add(self, triple: tuple[Node, Node, Node]) -> Self:
        if len(self) >= MOST_TRIPLES:
            raise InvalidFile(_NO_TURTLE, [f"there are more than {MOST_TRIPLES:,} statements; remove some"])
        return super().add(triple)


def loads(text: str) -> Vocabulary:
    """The vocabulary that a Turtle text says; what our form has no place for is left out (`examine` lists it).

    Raises InvalidFile for what is no Turtle, InvalidVocabulary with every fault for what is no vocabulary.
    """
    return read(parse(text)).vocabulary


def examine(text: str) -> Examined:
    """Read a Turtle text and check it. Raises as `loads` does, with what breaks SKOS among the faults."""
    graph = parse(text)
    broken = violations(graph)
    try:
        reading: Reading = read(graph)
    except InvalidVocabulary as error:
        # The reader has said S14 itself: there is no way to read two labels.
        faults = [f"{violation.condition}: {violation.says}" for violation in broken if violation.condition != "S14"]
        raise InvalidVocabulary(WHAT, [*error.faults, *faults], error.more) from error
    return Examined(reading.vocabulary, reading.left_out, broken)


def parse(text: str) -> Graph:
    """The graph of a Turtle text. Nothing is fetched. Raises InvalidFile."""
    if len(text) > LARGEST:
        raise InvalidFile(_NO_TURTLE, [f"{len(text)} characters are more than the {LARGEST} that are read"])
    try:
        return _Bounded().parse(data=text, format="turtle", publicID=BASE)
    except InvalidFile:
        raise
    except RecursionError as error:
        raise InvalidFile(_NO_TURTLE, ["it is nested too deep"]) from error
    # On texts that are no Turtle the library's parser raises SyntaxError, Exception itself, and what it stumbles over.
    except Exception as error:
        raise InvalidFile(_NO_TURTLE, [_first_line(error)]) from error


def dumps(vocabulary: Vocabulary) -> str:
    """A vocabulary as Turtle, the same text for the same vocabulary."""
    graph = Graph()
    for prefix, namespace in (("skos", SKOS), ("dcterms", DCTERMS), ("owl", OWL), ("terms", TERMS)):
        graph.bind(prefix, namespace)
    graph.bind("", implied_iri(vocabulary.iri, ""))
    scheme = URIRef(vocabulary.iri)
    order = URIRef(f"{vocabulary.iri}/order")
    concepts = [URIRef(concept.iri) for concept in vocabulary.concepts]
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    graph.add((scheme, SKOS.notation, Literal(vocabulary.name)))
    graph.add((scheme, OWL.versionInfo, Literal(vocabulary.version)))
    _add_texts(graph, scheme, DCTERMS.title, vocabulary.title)
    facets = [URIRef(facet_iri(vocabulary, facet.name)) for facet in vocabulary.facets]
    graph.add((scheme, TERMS.facets, _listed(graph, facets)))
    graph.add((scheme, TERMS.order, order))
    graph.add((order, RDF.type, SKOS.OrderedCollection))
    graph.add((order, SKOS.memberList, _listed(graph, concepts)))
    if vocabulary.kinds:
        kinds = [URIRef(kind_iri(vocabulary, kind.name)) for kind in vocabulary.kinds]
        graph.add((scheme, TERMS.kinds, _listed(graph, kinds)))
    for kind in vocabulary.kinds:
        _add_kind(graph, vocabulary, kind)
    for facet in vocabulary.facets:
        _add_facet(graph, vocabulary, facet)
    for concept in vocabulary.concepts:
        _add_concept(graph, vocabulary, concept)
    return graph.serialize(format="turtle")


def _add_kind(graph: Graph, vocabulary: Vocabulary, kind: Kind) -> None:
    node = URIRef(kind_iri(vocabulary, kind.name))
    graph.add((node, RDF.type, TERMS.Kind))
    graph.add((node, SKOS.notation, Literal(kind.name)))
    _add_texts(graph, node, SKOS.prefLabel, kind.label)


def _add_facet(graph: Graph, vocabulary: Vocabulary, facet: Facet) -> None:
    node = URIRef(facet_iri(vocabulary, facet.name))
    graph.add((node, RDF.type, SKOS.Collection))
    graph.add((node, SKOS.notation, Literal(facet.name)))
    _add_texts(graph, node, SKOS.prefLabel, facet.label)
    if facet.exclusive:
        graph.add((node, TERMS.exclusive, Literal(True)))
    if facet.moments:
        graph.add((node, TERMS.moments, Literal(True)))
    for concept in vocabulary.in_facet(facet.name):
        graph.add((node, SKOS.member, URIRef(concept.iri)))


def _add_concept(graph: Graph, vocabulary: Vocabulary, concept: Concept) -> None:
    node, scheme = URIRef(concept.iri), URIRef(vocabulary.iri)
    graph.add((node, RDF.type, SKOS.Concept))
    graph.add((node, SKOS.inScheme, scheme))
    graph.add((node, SKOS.notation, Literal(concept.notation)))
    _add_texts(graph, node, SKOS.prefLabel, concept.pref_label)
    for language, synonyms in concept.alt_label.items():
        for text in synonyms:
            graph.add((node, SKOS.altLabel, Literal(text, lang=language)))
    _add_texts(graph, node, SKOS.definition, concept.definition)
    _add_texts(graph, node, SKOS.scopeNote, concept.scope_note)
    if concept.broader is None:
        graph.add((node, SKOS.topConceptOf, scheme))
        graph.add((scheme, SKOS.hasTopConcept, node))
    else:
        graph.add((node, SKOS.broader, _named(vocabulary, concept.broader)))
    if concept.key:
        graph.add((node, TERMS.key, Literal(concept.key)))
    if concept.inside:
        graph.add((node, TERMS.inside, Literal(True)))
    for earlier in concept.usually_after:
        graph.add((node, TERMS.usuallyAfter, _named(vocabulary, earlier)))
    for replaced in concept.replaces:
        graph.add((node, DCTERMS.replaces, _named(vocabulary, replaced)))
    _add_texts(graph, node, TERMS.beginsWhen, concept.begins_when)
    _add_texts(graph, node, TERMS.endsWhen, concept.ends_when)
    if concept.any_phase:
        graph.add((node, TERMS.anyPhase, Literal(True)))
    if concept.operating_time:
        graph.add((node, TERMS.operatingTime, Literal(concept.operating_time.value)))
    for kind in concept.kinds:
        graph.add((node, TERMS.forKinds, URIRef(kind_iri(vocabulary, kind))))
    _add_rules(graph, vocabulary, node, concept.rules)


def _add_rules(graph: Graph, vocabulary: Vocabulary, node: URIRef, rules: Rules) -> None:
    if rules.usual_time.least is not None:
        graph.add((node, TERMS.usualTimeLeast, Literal(print_length(rules.usual_time.least))))
    if rules.usual_time.most is not None:
        graph.add((node, TERMS.usualTimeMost, Literal(print_length(rules.usual_time.most))))
    for place in rules.usual_place:
        graph.add((node, TERMS.usualPlace, Literal(place)))
    for key, notations in rules.named():
        for notation in notations:
            graph.add((node, TERMS[key], _named(vocabulary, notation)))
    if rules.changes_performer:
        graph.add((node, TERMS.changesPerformer, Literal(True)))


def _add_texts(graph: Graph, node: URIRef, predicate: URIRef, texts: Mapping[str, str]) -> None:
    for language, text in texts.items():
        graph.add((node, predicate, Literal(text, lang=language)))


def _named(vocabulary: Vocabulary, notation: str) -> URIRef:
    """The concept of a notation; one that is of an earlier version only has the IRI it would have had."""
    concept = vocabulary.by_notation.get(notation)
    return URIRef(concept.iri if concept else implied_iri(vocabulary.iri, notation))


def _listed(graph: Graph, nodes: list[URIRef]) -> Node:
    return Collection(graph, BNode(), list(nodes)).uri if nodes else RDF.nil


def _first_line(error: Exception) -> str:
    """What the RDF library says of a text that is no Turtle, without the piece of text it quotes."""
    said = " ".join(str(error).split())
    return said.split(" at ^ in:")[0].replace(" of <>", "")[:300]
