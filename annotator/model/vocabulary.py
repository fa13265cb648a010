"""A controlled vocabulary in the terms of SKOS: concepts with labels, in facets, each under a broader one.

SKOS Simple Knowledge Organization System Reference, W3C Recommendation 18 August 2009,
https://www.w3.org/TR/skos-reference/ .
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from functools import partial
from typing import NamedTuple

import msgspec
from msgspec.structs import force_setattr

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.concept_rules import Rules, as_set
from annotator.model.derived import derived_from
from annotator.model.words.forms import without_strength
from annotator.model.words.lookup import Words
from annotator.model.words.short_forms import Name

DEFAULT_LANGUAGE = "en"

MATERIAL = "material"
"""The facet whose concepts have a strength."""

MOST_NEIGHBOURS = 3
"""Names that are told where none is meant for sure."""


class Facet(msgspec.Struct, frozen=True):
    """One way of looking at the same time: phase, step, technique, event ...

    An `exclusive` facet holds one tag at a time; `moments` says that a tag may have no length.
    """

    name: str
    label: Mapping[str, str]
    exclusive: bool = False
    moments: bool = False


class Kind(msgspec.Struct, frozen=True):
    """A kind of operation. It says which concepts are shown first, and is never a limit."""

    name: str
    label: Mapping[str, str]


class Bound(StrEnum):
    """What a step is to operating time, which runs from the first start of one to the last end of the other."""

    BEGINS = "begins"
    ENDS = "ends"


class Concept(msgspec.Struct, frozen=True):
    """A thing that time can be tagged with.

    `notation` is the short name, unique in its vocabulary; `broader` and `usually_after` name
    other concepts by notation; `replaces` names concepts of earlier versions that this one takes
    over; `key` is the one letter that begins it in the window, or empty; `inside` says that the picture
    then shows the inside of the body only, here and in all that is narrower. Labels are by language tag.

    `begins_when` and `ends_when` say what is seen when it begins and ends; `any_phase` that it counts for the phase
    in which it lies; `kinds` names the kinds of operation that show it first.

    Synonyms, `usually_after`, `replaces` and `kinds` are sets, as in RDF: they are kept in alphabetical
    order, so that two concepts that say the same are equal whatever file they came from.
    """

    iri: str
    notation: str
    facet: str
    pref_label: Mapping[str, str]
    alt_label: Mapping[str, tuple[str, ...]] = {}
    definition: Mapping[str, str] = {}
    scope_note: Mapping[str, str] = {}
    broader: str | None = None
    key: str = ""
    usually_after: tuple[str, ...] = ()
    replaces: tuple[str, ...] = ()
    inside: bool = False
    begins_when: Mapping[str, str] = {}
    ends_when: Mapping[str, str] = {}
    any_phase: bool = False
    operating_time: Bound | None = None
    kinds: tuple[str, ...] = ()
    rules: Rules = Rules()

    def __post_init__(self) -> None:
        synonyms = {language: as_set(texts) for language, texts in self.alt_label.items() if texts}
        force_setattr(self, "alt_label", synonyms)
        for field in ("usually_after", "replaces", "kinds"):
            force_setattr(self, field, as_set(getattr(self, field)))

    def label(self, language: str = DEFAULT_LANGUAGE) -> str:
        """The preferred label in a language, else in English, else in any, else the notation."""
        return label_in(self.pref_label, language) or self.notation

    def names(self) -> Iterator[str]:
        """Everything that this concept answers to: notation, labels, synonyms."""
        yield self.notation
        yield from self.pref_label.values()
        for synonyms in self.alt_label.values():
            yield from synonyms

    def prose(self) -> Iterator[str]:
        """The sentences that explain it."""
        for texts in (self.definition, self.scope_note, self.begins_when, self.ends_when):
            yield from texts.values()


class Meaning(NamedTuple):
    """What written words mean: for sure, or only near to a name; and the strength of a material that they say."""

    concept: Concept
    is_sure: bool = True
    strength: str = ""


class Vocabulary(msgspec.Struct, frozen=True, dict=True):
    """Concepts in the order of the operation, and the facets that they fall in."""

    iri: str
    name: str
    version: str
    title: Mapping[str, str]
    facets: tuple[Facet, ...]
    concepts: tuple[Concept, ...]
    kinds: tuple[Kind, ...] = ()

    @derived_from("concepts")
    def by_iri(self) -> Mapping[str, Concept]:
        return {concept.iri: concept for concept in self.concepts}

    @derived_from("concepts")
    def by_notation(self) -> Mapping[str, Concept]:
        return {concept.notation: concept for concept in self.concepts}

    @derived_from("concepts")
    def words(self) -> Words:
        """What the concepts answer to, to look up what people write."""
        names = (Name(concept.iri, name) for concept in self.concepts for name in concept.names())
        above = {concept.iri: self._same_facet_above(concept) for concept in self.concepts}
        return Words(names, above, (text for concept in self.concepts for text in concept.prose()))

    def _same_facet_above(self, concept: Concept) -> tuple[str, ...]:
        return tuple(above.iri for above in self.ancestors(concept) if above.facet == concept.facet)

    def concept(self, iri: str) -> Concept | None:
        """The concept with this IRI, or None where the term is not of this vocabulary."""
        return self.by_iri.get(iri)

    def facet(self, name: str) -> Facet:
        """The facet called `name`. Raises UnknownName."""
        for facet in self.facets:
            if facet.name == name:
                return facet
        raise UnknownName("category", name, (facet.name for facet in self.facets))

    def kind(self, name: str) -> Kind:
        """The kind of operation called `name`. Raises UnknownName."""
        for kind in self.kinds:
            if kind.name == name:
                return kind
        raise UnknownName("kind of operation", name, (kind.name for kind in self.kinds))

    def has_kind(self, name: str) -> bool:
        return any(kind.name == name for kind in self.kinds)

    def in_facet(self, name: str) -> tuple[Concept, ...]:
        """The concepts of one facet, in the order of the operation. Raises UnknownName."""
        facet = self.facet(name)
        return tuple(concept for concept in self.concepts if concept.facet == facet.name)

    def knows(self, name: str) -> bool:
        """Whether any concept has just this name, letter case, dashes and blanks aside."""
        return bool(next(self.words.equal(name)))

    def match(self, name: str, facet: str | None = None) -> Concept:
        """The concept that a typed name means for sure: its notation, a label or a synonym, or equal after normalising.

        Raises UnknownName with the nearest names, or AmbiguousName where several answer.
        """
        found = self.meaning(name, facet)
        if found.is_sure:
            return found.concept
        raise self._unknown(name, facet, partial(self._labels, (found.concept.iri,)))

    def meaning(self, name: str, facet: str | None = None) -> Meaning:
        """The concept that a typed name means, for sure or because it is near and nothing else is as near.

        Raises UnknownName with the nearest names, or AmbiguousName where several answer.
        """
        sure = self.called(name, facet)
        if sure is not None:
            return Meaning(sure)
        bare, strength = without_strength(name)
        if strength:
            found = self.meaning(bare, facet)
            return found._replace(strength=strength, is_sure=found.is_sure and found.concept.facet == MATERIAL)
        words = self.words
        nearest = tuple(one for one in words.nearest(name) if facet in (None, self.by_iri[one.meant].facet))
        near = words.near(nearest)
        if near is not None:
            return Meaning(self.by_iri[near], is_sure=False)
        raise self._unknown(name, facet, partial(self._labels, [one.meant for one in nearest[:MOST_NEIGHBOURS]]))

    def may_mean(self, name: str, facet: str | None = None) -> tuple[tuple[Concept, ...], tuple[Concept, ...]]:
        """The concepts that a typed name means for sure, and those that it is near to, the nearest first."""
        both = next(filter(None, self.words.equal(name)), ()), [one.meant for one in self.words.nearest(name)]
        sure, near = (
            tuple(one for one in map(self.by_iri.__getitem__, iris) if facet in (None, one.facet)) for iris in both
        )
        return sure, tuple(one for one in near if one not in sure)

    def called(self, name: str, facet: str | None = None) -> Concept | None:
        """The one concept with an equal name, by the strictest measure by which there are any, or None.

        Raises AmbiguousName where several have.
        """
        by_iri = self.by_iri
        for level in filter(None, self.words.equal(name)):
            found = [by_iri[iri] for iri in level if facet in (None, by_iri[iri].facet)]
            exact = [concept for concept in found if concept.notation == name]
            if len(found) > 1 and not exact:
                raise AmbiguousName("concept", name, [concept.notation for concept in found])
            if found:
                return (exact or found)[0]
        return None

    def _unknown(self, name: str, facet: str | None, nearest: Callable[[], Sequence[str]]) -> UnknownName:
        known = (one for concept in self.concepts if facet in (None, concept.facet) for one in concept.names())
        return UnknownName(facet or "concept", name, known, nearest)

    def _labels(self, iris: Iterable[str]) -> tuple[str, ...]:
        return tuple(self.by_iri[iri].label() for iri in iris)

    def ancestors(self, concept: Concept) -> tuple[Concept, ...]:
        """The broader concepts, nearest first; a cycle in a faulty vocabulary ends the walk."""
        is_own = self.by_notation.get(concept.notation) is concept
        return self._above[concept.notation] if is_own else self._walk(concept)

    @derived_from("concepts")
    def _above(self) -> Mapping[str, tuple[Concept, ...]]:
        return {notation: self._walk(concept) for notation, concept in self.by_notation.items()}

    def _walk(self, concept: Concept) -> tuple[Concept, ...]:
        found: dict[str, Concept] = {}
        above = self.by_notation.get(concept.broader or "")
        while above is not None and above.notation not in found and above is not concept:
            found[above.notation] = above
            above = self.by_notation.get(above.broader or "")
        return tuple(found.values())

    @derived_from("concepts")
    def lines(self) -> Mapping[str, tuple[Concept, ...]]:
        """By IRI a concept and its broader ones, nearest first."""
        return {concept.iri: (concept, *self.ancestors(concept)) for concept in self.concepts}

    @derived_from("concepts")
    def narrower(self) -> Mapping[str, tuple[Concept, ...]]:
        """By notation a concept and all that is narrower, in the order of the operation."""
        found: dict[str, list[Concept]] = {}
        for concept in self.concepts:
            for above in (concept, *self.ancestors(concept)):
                found.setdefault(above.notation, []).append(concept)
        return {notation: tuple(concepts) for notation, concepts in found.items()}

    def lineage(self, concept: Concept, facet: str) -> tuple[Concept, ...]:
        """What a concept counts for in a facet: itself and the broader ones that are of it, nearest first."""
        return tuple(one for one in (concept, *self.ancestors(concept)) if one.facet == facet)

    def is_any_phase(self, concept: Concept) -> bool:
        """Whether it counts for the phase in which it lies: it or a broader one of its facet says so."""
        return concept.any_phase or any(one.any_phase for one in self.ancestors(concept) if one.facet == concept.facet)

    def always_counts_for(self, concept: Concept) -> tuple[Concept, ...]:
        """A concept and the broader ones that it counts for wherever it lies, nearest first."""
        above = self.ancestors(concept)
        if self.is_any_phase(concept):
            above = tuple(one for one in above if one.facet == concept.facet)
        return (concept, *above)

    @derived_from("concepts")
    def bounding(self) -> Mapping[Bound, frozenset[str]]:
        """By what it is to operating time the IRIs of the concepts that always count for one that says so."""
        counts_for = {concept.iri: self.always_counts_for(concept) for concept in self.concepts}
        return {
            bound: frozenset(
                iri for iri, line in counts_for.items() if any(one.operating_time is bound for one in line)
            )
            for bound in Bound
        }

    def is_inside(self, concept: Concept) -> bool:
        """Whether a frame under this concept shows no face, no skin and no name: it or a broader one says `inside`."""
        return concept.inside or any(above.inside for above in self.ancestors(concept))


def label_in(labels: Mapping[str, str], language: str) -> str:
    """The text in a language, else in English, else in any, else nothing."""
    return labels.get(language) or labels.get(DEFAULT_LANGUAGE) or next(iter(labels.values()), "")
