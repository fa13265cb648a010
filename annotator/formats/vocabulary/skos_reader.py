"""From an RDF graph in SKOS to the plain form of a vocabulary.

What our own Turtle says comes back exactly. A scheme made elsewhere is read as far as it goes: without facets, every
concept is a step; without an order, they stand by notation; without a notation, the end of the IRI is one.
"""

import re
from collections import Counter
from collections.abc import Iterable
from functools import partial
from typing import Any, NamedTuple

from rdflib import Graph, Literal, URIRef
from rdflib.collection import Collection
from rdflib.namespace import DC, DCTERMS, OWL, RDF, RDFS, SKOS
from rdflib.term import Node

from annotator.errors import Gathered, InvalidVocabulary
from annotator.formats.faults import Path
from annotator.formats.vocabulary.flat_rules import nested
from annotator.formats.vocabulary.form import MOST_CONCEPTS, MOST_FACETS, MOST_KINDS, WHAT, from_plain, implied_iri
from annotator.formats.vocabulary.skos_terms import BASE, TERMS, name_of
from annotator.model.concept_rules import Rules
from annotator.model.vocabulary import Vocabulary

UNDETERMINED = "und"
"""The language tag of a text that names none (ISO 639-2)."""

_TITLES = (DCTERMS.title, DC.title, SKOS.prefLabel, RDFS.label)
_OF_SCHEME = {
    *(RDF.type, SKOS.notation, OWL.versionInfo, SKOS.hasTopConcept, TERMS.facets, TERMS.kinds, TERMS.order, *_TITLES)
}
_OF_KIND = {RDF.type, SKOS.notation, SKOS.prefLabel}
_OF_COLLECTION = {RDF.type, SKOS.notation, SKOS.prefLabel, SKOS.member, SKOS.memberList, TERMS.exclusive, TERMS.moments}
_OF_CONCEPT = {
    *(RDF.type, SKOS.inScheme, SKOS.topConceptOf, SKOS.notation, SKOS.prefLabel, SKOS.altLabel, SKOS.definition),
    *(SKOS.scopeNote, SKOS.broader, SKOS.narrower, TERMS.key, TERMS.usuallyAfter, DCTERMS.replaces),
    *(DCTERMS.isReplacedBy, TERMS.inside, TERMS.beginsWhen, TERMS.endsWhen, TERMS.anyPhase, TERMS.operatingTime),
    *(TERMS.forKinds, TERMS.usualTimeLeast, TERMS.usualTimeMost, TERMS.usualPlace, TERMS.changesPerformer),
    *(TERMS[key] for key, _ in Rules().named()),
}


class Reading(NamedTuple):
    """A vocabulary, and what the graph says beyond it, in sentences."""

    vocabulary: Vocabulary
    left_out: tuple[str, ...]


def read(graph: Graph) -> Reading:
    """The vocabulary of a graph with one concept scheme. Raises InvalidVocabulary with every fault."""
    reader = _Reader(graph)
    plain = reader.plain()
    if reader.faults.said:
        raise InvalidVocabulary(WHAT, reader.faults.said, reader.faults.more)
    vocabulary = from_plain(plain, reader.place_of)
    return Reading(vocabulary, tuple(dict.fromkeys(reader.left_out)))


class _Reader:
    def __init__(self, graph: Graph) -> None:
        self.faults = Gathered()
        self.left_out: list[str] = []
        self._graph = graph
        self._scheme = self._the_scheme()
        self._facets = self._list(graph.value(self._scheme, TERMS.facets, any=True))
        self._kinds = self._list(graph.value(self._scheme, TERMS.kinds, any=True))
        concepts = self._concepts()
        _refuse_more(len(self._facets), "facets", MOST_FACETS)
        _refuse_more(len(self._kinds), "kinds", MOST_KINDS)
        _refuse_more(len(concepts), "concepts", MOST_CONCEPTS)
        self._notations = {concept: self._notation(concept) for concept in concepts}
        self._order = self._in_order()

    def plain(self) -> dict[str, Any]:
        """The plain form, also where there are faults."""
        facets = [self._facet(facet) for facet in self._facets]
        if not facets:
            facets = [{"name": "step", "label": {"en": "Step"}, "exclusive": True}]
            self.left_out.append("there are no categories: every concept becomes a step")
        name = self._notation(self._scheme)
        plain = {
            "iri": str(self._scheme),
            "name": name,
            "version": str(self._graph.value(self._scheme, OWL.versionInfo, any=True) or "1"),
            "title": next(filter(None, (self._texts(self._scheme, title) for title in _TITLES)), {"en": name}),
            "kinds": [self._kind(kind) for kind in self._kinds],
            "facets": facets,
            "concepts": [self._concept(concept) for concept in self._order],
        }
        self._count_what_is_left_out()
        return plain

    def place_of(self, path: Path) -> str:
        """A fault's place in words: the concept's IRI and what of it."""
        index = path[1] if path[:1] == ("concepts",) and len(path) > 1 else None
        if not isinstance(index, int):
            return ", ".join(map(str, path))
        return ", ".join([f"<{self._order[index]}>", *map(str, path[2:3])])

    # --- which things there are --------------------------------------------------------------------

    def _the_scheme(self) -> URIRef:
        said = set(self._graph.subjects(RDF.type, SKOS.ConceptScheme))
        said |= set(self._graph.objects(None, SKOS.inScheme)) | set(self._graph.objects(None, SKOS.topConceptOf))
        said |= set(self._graph.subjects(SKOS.hasTopConcept, None))
        schemes = sorted(node for node in said if isinstance(node, URIRef))
        if len(schemes) != 1:
            found = f"{len(schemes)} concept schemes are named" if schemes else "no skos:ConceptScheme is named"
            raise InvalidVocabulary(WHAT, [f"{found}; a vocabulary is one"])
        return schemes[0]

    def _concepts(self) -> list[URIRef]:
        said = set(self._graph.subjects(RDF.type, SKOS.Concept)) | set(self._graph.subjects(SKOS.inScheme, None))
        said |= set(self._graph.objects(self._scheme, SKOS.hasTopConcept))
        said |= set(self._graph.subjects(SKOS.topConceptOf, None))
        concepts = sorted(node for node in said if isinstance(node, URIRef))
        nameless = len(said) - len(concepts)
        if nameless:
            self.left_out.append(f"concepts without an IRI ({nameless})")
        for node in (self._scheme, *concepts):
            if node.startswith(BASE):
                self.faults.note(partial("<{}> is not a complete IRI; add an @base".format, node.removeprefix(BASE)))
        return concepts

    def _in_order(self) -> list[URIRef]:
        order = self._graph.value(self._scheme, TERMS.order, any=True)
        known = self._list(self._graph.value(order, SKOS.memberList, any=True)) if order is not None else []
        first = [concept for concept in dict.fromkeys(known) if concept in self._notations]
        others = self._notations.keys() - set(first)
        return [*first, *sorted(others, key=lambda concept: (self._notations[concept], concept))]

    def _list(self, head: Node | None) -> list[URIRef]:
        if head is None:
            return []
        try:
            return [node for node in Collection(self._graph, head) if isinstance(node, URIRef)]
        except ValueError:
            self.faults.note(lambda: "a list in it runs back into itself")
            return []

    # --- what is said of them ----------------------------------------------------------------------

    def _facet(self, facet: URIRef) -> dict[str, Any]:
        return {
            "name": self._notation(facet),
            "label": self._texts(facet, SKOS.prefLabel) or {"en": self._notation(facet)},
            "exclusive": self._is_true(facet, TERMS.exclusive),
            "moments": self._is_true(facet, TERMS.moments),
        }

    def _kind(self, kind: URIRef) -> dict[str, Any]:
        name = self._notation(kind)
        return {"name": name, "label": self._texts(kind, SKOS.prefLabel) or {"en": name}}

    def _concept(self, concept: URIRef) -> dict[str, Any]:
        notation = self._notations[concept]
        synonyms = self._by_language(concept, SKOS.altLabel)
        said = {
            "iri": str(concept),
            "notation": notation,
            "facet": self._facet_of(concept),
            "prefLabel": self._texts(concept, SKOS.prefLabel) or {UNDETERMINED: notation},
            "altLabel": {language: sorted(texts) for language, texts in synonyms.items()},
            "definition": self._texts(concept, SKOS.definition),
            "scopeNote": self._texts(concept, SKOS.scopeNote),
            "broader": self._broader(concept),
            "key": self._word(concept, TERMS.key),
            "usuallyAfter": self._others(concept, "usuallyAfter"),
            "replaces": self._replaced(concept),
            "inside": self._is_true(concept, TERMS.inside),
            "beginsWhen": self._texts(concept, TERMS.beginsWhen),
            "endsWhen": self._texts(concept, TERMS.endsWhen),
            "anyPhase": self._is_true(concept, TERMS.anyPhase),
            "operatingTime": self._word(concept, TERMS.operatingTime),
            "kinds": self._kinds_of(concept),
            **self._rules(concept),
        }
        return nested({key: value for key, value in said.items() if value})

    def _rules(self, concept: URIRef) -> dict[str, Any]:
        """Beside the other keys, as they are triples of the concept itself."""
        return {
            "usualTimeLeast": self._word(concept, TERMS.usualTimeLeast),
            "usualTimeMost": self._word(concept, TERMS.usualTimeMost),
            "usualPlace": sorted(map(str, self._graph.objects(concept, TERMS.usualPlace))),
            **{key: self._others(concept, key) for key, _ in Rules().named()},
            "changesPerformer": self._is_true(concept, TERMS.changesPerformer),
        }

    def _kinds_of(self, concept: URIRef) -> list[str]:
        named = set(self._graph.objects(concept, TERMS.forKinds))
        known = [kind for kind in self._kinds if kind in named]
        for kind in sorted(map(str, named - set(known))):
            self.left_out.append(f"<{concept}>: terms:forKinds names {kind}, which is not in the vocabulary")
        return [self._notation(kind) for kind in known]

    def _others(self, concept: URIRef, key: str) -> list[str]:
        """The concepts that a term of our own names."""
        return self._named(concept, self._graph.objects(concept, TERMS[key]), f"terms:{key}")

    def _notation(self, thing: URIRef) -> str:
        said = sorted(str(notation) for notation in self._graph.objects(thing, SKOS.notation))
        if len(said) > 1:
            self.left_out.append(f"<{thing}>: of {len(said)} notations only “{said[0]}” is kept")
        return said[0] if said else _end_of(thing)

    def _facet_of(self, concept: URIRef) -> str:
        if not self._facets:
            return "step"
        holders = [facet for facet in self._facets if (facet, SKOS.member, concept) in self._graph]
        if len(holders) != 1:
            where = "in no category" if not holders else f"in {len(holders)} categories"
            self.faults.note(partial("<{}> is {}; it belongs in one (skos:member)".format, concept, where))
        return self._notation(holders[0]) if holders else ""

    def _broader(self, concept: URIRef) -> str | None:
        above = {*self._graph.objects(concept, SKOS.broader), *self._graph.subjects(SKOS.narrower, concept)}
        found = self._named(concept, above, "skos:broader")
        if len(found) > 1:
            self.left_out.append(f"<{concept}>: of {len(found)} broader concepts only {found[0]} is kept")
        return found[0] if found else None

    def _named(self, concept: URIRef, others: Iterable[Node], term: str) -> list[str]:
        """The notations of other concepts of the vocabulary; what else is named is left out."""
        found: list[str] = []
        for other in others:
            if isinstance(other, URIRef) and other in self._notations:
                found.append(self._notations[other])
            else:
                self.left_out.append(f"<{concept}>: {term} names {other}, which is not in the vocabulary")
        return sorted(found)

    def _replaced(self, concept: URIRef) -> list[str]:
        """Notations of earlier versions; those concepts are not in the graph, so the IRI must tell."""
        earlier = {
            *self._graph.objects(concept, DCTERMS.replaces),
            *self._graph.subjects(DCTERMS.isReplacedBy, concept),
        }
        start = implied_iri(self._scheme, "")
        iris = [node for node in earlier if isinstance(node, URIRef)]
        return sorted(
            self._notations.get(iri) or (iri.removeprefix(start) if iri.startswith(start) else _end_of(iri))
            for iri in iris
        )

    # --- literals ------------------------------------------------------------------------------------

    def _by_language(self, thing: URIRef, predicate: URIRef) -> dict[str, list[str]]:
        """Texts by language; tags that differ in letter case only are one (RFC 5646, section 2.1.1)."""
        found: dict[str, list[str]] = {}
        spelled: dict[str, str] = {}
        literals = [text for text in self._graph.objects(thing, predicate) if isinstance(text, Literal)]
        for literal in sorted(literals, key=lambda literal: (literal.language or "", str(literal))):
            language = literal.language or UNDETERMINED
            found.setdefault(spelled.setdefault(language.lower(), language), []).append(str(literal))
        return found

    def _texts(self, thing: URIRef, predicate: URIRef) -> dict[str, str]:
        """One text a language. Labels must be one already (S14); of notes, several become paragraphs of one."""
        found = self._by_language(thing, predicate)
        if predicate == SKOS.prefLabel:
            for language, texts in found.items():
                if len(texts) > 1:
                    says = "<{}>: there are {} preferred labels in {} (S14)".format
                    self.faults.note(partial(says, thing, len(texts), language))
        return {language: "\n".join(texts) for language, texts in found.items()}

    def _word(self, thing: URIRef, predicate: URIRef) -> str:
        return str(self._graph.value(thing, predicate, any=True) or "")

    def _is_true(self, thing: URIRef, predicate: URIRef) -> bool:
        literal = self._graph.value(thing, predicate, any=True)
        return isinstance(literal, Literal) and literal.toPython() is True

    def _count_what_is_left_out(self) -> None:
        kept: dict[Node, set[URIRef]] = dict.fromkeys(self._notations, _OF_CONCEPT)
        kept |= dict.fromkeys(self._facets, _OF_COLLECTION)
        kept |= dict.fromkeys(self._kinds, _OF_KIND)
        kept[self._scheme] = _OF_SCHEME
        order = self._graph.value(self._scheme, TERMS.order, any=True)
        left: Counter[str] = Counter()
        for subject, predicate, _value in self._graph:
            known = _OF_COLLECTION if subject == order else kept.get(subject, {RDF.first, RDF.rest})
            if predicate not in known:
                left[name_of(predicate)] += 1
        self.left_out += [f"{term} ({count})" for term, count in sorted(left.items())]


def _refuse_more(count: int, what: str, most: int) -> None:
    if count > most:
        raise InvalidVocabulary(WHAT, [f"{count} {what} are more than the {most} that are read; leave some out"])


def _end_of(iri: URIRef) -> str:
    """What stands last in an IRI, as a notation."""
    end = re.split(r"[/#:]", iri.rstrip("/#:"))[-1]
    return re.sub(r"[^\w.~-]+", "-", end).strip("-._~").lower() or "concept"
