"""The integrity conditions of SKOS, checked on any RDF graph.

SKOS Reference, W3C Recommendation 18 August 2009: S9, S13, S14, S27, S37 and S46, after the entailments that they need
(domains and ranges, sub-properties, inverses, symmetry and transitivity).
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import NamedTuple

from rdflib import Graph, Literal
from rdflib.namespace import RDF, SKOS
from rdflib.term import Node

from annotator.errors import InvalidVocabulary
from annotator.formats.vocabulary.form import WHAT
from annotator.formats.vocabulary.skos_terms import name_of

_LABELS = (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)
_UP = (SKOS.broader, SKOS.broaderTransitive, SKOS.broadMatch)
_DOWN = (SKOS.narrower, SKOS.narrowerTransitive, SKOS.narrowMatch)
_ACROSS = (SKOS.related, SKOS.relatedMatch)
# Sub-properties of semanticRelation, both ends of which are concepts (S19 to S22, S39 to S41).
_RELATIONS = (SKOS.semanticRelation, SKOS.mappingRelation, SKOS.closeMatch, SKOS.exactMatch, *_UP, *_DOWN, *_ACROSS)

MOST_STEPS = 1_000_000
"""Links that are followed in one check; five thousand concepts, ten deep, take a tenth of them."""

Links = Mapping[Node, set[Node]]


class Violation(NamedTuple):
    """A condition that a graph breaks, and where."""

    condition: str
    says: str


def violations(graph: Graph) -> tuple[Violation, ...]:
    """What in a graph breaks the integrity conditions of SKOS, in the order of their numbers.

    Raises InvalidVocabulary for a graph that is too tangled to be checked.
    """
    found = [*_kinds(graph), *_labels(graph), *_relations(graph), *_matches(graph)]
    return tuple(sorted(set(found), key=lambda violation: (int(violation.condition[1:]), violation.says)))


def _kinds(graph: Graph) -> Iterator[Violation]:
    """S9 and S37: concepts, schemes and collections are three kinds of thing."""
    concepts = set(graph.subjects(RDF.type, SKOS.Concept)) | set(graph.objects(None, SKOS.hasTopConcept))
    concepts |= set(graph.subjects(SKOS.topConceptOf, None))
    for relation in _RELATIONS:
        concepts |= set(graph.subjects(relation, None)) | set(graph.objects(None, relation))
    schemes = set(graph.subjects(RDF.type, SKOS.ConceptScheme)) | set(graph.subjects(SKOS.hasTopConcept, None))
    schemes |= set(graph.objects(None, SKOS.inScheme)) | set(graph.objects(None, SKOS.topConceptOf))
    collections = set(graph.subjects(RDF.type, SKOS.Collection)) | set(graph.subjects(SKOS.member, None))
    collections |= set(graph.subjects(RDF.type, SKOS.OrderedCollection)) | set(graph.subjects(SKOS.memberList, None))
    for node in concepts & schemes:
        yield Violation("S9", f"{name_of(node)} is a concept and a concept scheme")
    for kind, nodes in (("concept", concepts), ("concept scheme", schemes)):
        for node in collections & nodes:
            yield Violation("S37", f"{name_of(node)} is a collection and a {kind}")


def _labels(graph: Graph) -> Iterator[Violation]:
    """S13 and S14. Literals are equal when text and language tag are, the tag in any letter case (RFC 5646)."""
    preferred: defaultdict[tuple[Node, str], set[str]] = defaultdict(set)
    for node, literal in graph.subject_objects(SKOS.prefLabel):
        if isinstance(literal, Literal):
            preferred[node, (literal.language or "").lower()].add(str(literal))
    for (node, language), texts in preferred.items():
        if len(texts) > 1:
            said = f"in “{language}”" if language else "without a language"
            yield Violation("S14", f"{name_of(node)} has {len(texts)} preferred labels {said}")
    for one, other in combinations(_LABELS, 2):
        for node, literal in graph.subject_objects(one):
            if (node, other, literal) in graph:
                names = f"{name_of(one)} and {name_of(other)}"
                yield Violation("S13", f"{name_of(node)} has “{literal}” as {names}")


def _relations(graph: Graph) -> Iterator[Violation]:
    """S27: what is related may not be above or below."""
    up = _Paths(_links(graph, _UP, _DOWN))
    for node, others in _links(graph, _ACROSS, _ACROSS).items():
        above = up.reached(node)
        for other in others & above:
            yield Violation("S27", f"{name_of(node)} is related to {name_of(other)}, which is above it")


def _matches(graph: Graph) -> Iterator[Violation]:
    """S46: what matches exactly may match neither more broadly nor as related."""
    links = _links(graph, (SKOS.exactMatch,), (SKOS.exactMatch,))
    exact = _Paths(links)
    others = _links(graph, (SKOS.broadMatch, SKOS.relatedMatch), (SKOS.narrowMatch, SKOS.relatedMatch))
    for node, matched in others.items():
        for other in matched & (exact.reached(node) if node in links else set()):
            yield Violation("S46", f"{name_of(node)} matches {name_of(other)} exactly and otherwise too")


def _links(graph: Graph, forward: tuple[Node, ...], backward: tuple[Node, ...]) -> Links:
    """Each node with those it points at, by the properties as they stand and by the inverses of others."""
    found: defaultdict[Node, set[Node]] = defaultdict(set)
    for predicate in forward:
        for node, other in graph.subject_objects(predicate):
            found[node].add(other)
    for predicate in backward:
        for other, node in graph.subject_objects(predicate):
            found[node].add(other)
    return dict(found)


class _Paths:
    """Where links lead; of a graph so tangled that this would take long, it is refused to tell."""

    def __init__(self, links: Links) -> None:
        self._links = links
        self._left = MOST_STEPS

    def reached(self, start: Node) -> set[Node]:
        """Every node that one or more links lead to: the transitive closure from one node. Raises InvalidVocabulary."""
        found: set[Node] = set()
        waiting = [start]
        while waiting:
            others = self._links.get(waiting.pop(), set())
            self._left -= 1 + len(others)
            if self._left < 0:
                raise InvalidVocabulary(WHAT, ["too many concepts stand above each other; leave some out"])
            fresh = others - found
            found |= fresh
            waiting.extend(fresh)
        return found
