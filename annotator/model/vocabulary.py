"""A controlled vocabulary in the terms of SKOS: concepts with labels, in facets, each under a broader one.

SKOS Simple Knowledge Organization System Reference, W3C Recommendation 18 August 2009,
https://www.w3.org/TR/skos-reference/ .
"""

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.derived import derived_from

DEFAULT_LANGUAGE = "en"


class Facet(msgspec.Struct, frozen=True):
    """One way of looking at the same time: phase, step, technique, event ...

    An `exclusive` facet holds one tag at a time; `moments` says that a tag may have no length.
    """

    name: str
    label: Mapping[str, str]
    exclusive: bool = False
    moments: bool = False


class Concept(msgspec.Struct, frozen=True):
    """A thing that time can be tagged with.

    `notation` is the short name, unique in its vocabulary; `broader` and `usually_after` name
    other concepts by notation; `replaces` names concepts of earlier versions that this one takes
    over; `key` is the one letter that begins it in the window, or empty; `inside` says that the picture
    then shows the inside of the body only, here and in all that is narrower. Labels are by language tag.

    Synonyms, `usually_after` and `replaces` are sets, as in RDF: they are kept in alphabetical
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

    def __post_init__(self) -> None:
        synonyms = {language: _as_set(texts) for language, texts in self.alt_label.items() if texts}
        msgspec.structs.force_setattr(self, "alt_label", synonyms)
        msgspec.structs.force_setattr(self, "usually_after", _as_set(self.usually_after))
        msgspec.structs.force_setattr(self, "replaces", _as_set(self.replaces))

    def label(self, language: str = DEFAULT_LANGUAGE) -> str:
        """The preferred label in a language, else in English, else in any, else the notation."""
        return label_in(self.pref_label, language) or self.notation

    def names(self) -> Iterator[str]:
        """Everything that this concept answers to: notation, labels, synonyms."""
        yield self.notation
        yield from self.pref_label.values()
        for synonyms in self.alt_label.values():
            yield from synonyms


class Vocabulary(msgspec.Struct, frozen=True, dict=True):
    """Concepts in the order of the operation, and the facets that they fall in."""

    iri: str
    name: str
    version: str
    title: Mapping[str, str]
    facets: tuple[Facet, ...]
    concepts: tuple[Concept, ...]

    @derived_from("concepts")
    def by_iri(self) -> Mapping[str, Concept]:
        return {concept.iri: concept for concept in self.concepts}

    @derived_from("concepts")
    def by_notation(self) -> Mapping[str, Concept]:
        return {concept.notation: concept for concept in self.concepts}

    @derived_from("concepts")
    def _by_folded_name(self) -> Mapping[str, tuple[Concept, ...]]:
        named: dict[str, dict[str, Concept]] = {}
        for concept in self.concepts:
            for name in concept.names():
                named.setdefault(folded(name), {})[concept.iri] = concept
        return {name: tuple(concepts.values()) for name, concepts in named.items()}

    def concept(self, iri: str) -> Concept | None:
        """The concept with this IRI, or None where the term is not of this vocabulary."""
        return self.by_iri.get(iri)

    def facet(self, name: str) -> Facet:
        """The facet called `name`. Raises UnknownName."""
        for facet in self.facets:
            if facet.name == name:
                return facet
        raise UnknownName("category", name, (facet.name for facet in self.facets))

    def in_facet(self, name: str) -> tuple[Concept, ...]:
        """The concepts of one facet, in the order of the operation. Raises UnknownName."""
        facet = self.facet(name)
        return tuple(concept for concept in self.concepts if concept.facet == facet.name)

    def knows(self, name: str) -> bool:
        """Whether any concept answers to a typed name."""
        return folded(name) in self._by_folded_name

    def match(self, name: str, facet: str | None = None) -> Concept:
        """The concept that a typed name means: its notation, a label or a synonym, in any letter case.

        Raises UnknownName with the nearest names, or AmbiguousName where several answer.
        """
        found = [
            concept for concept in self._by_folded_name.get(folded(name), ()) if facet is None or concept.facet == facet
        ]
        exact = [concept for concept in found if concept.notation == name]
        if len(found) > 1 and not exact:
            raise AmbiguousName("concept", name, [concept.notation for concept in found])
        if not found:
            known = (one for concept in self.concepts if facet in (None, concept.facet) for one in concept.names())
            raise UnknownName(facet or "concept", name, known)
        return (exact or found)[0]

    def ancestors(self, concept: Concept) -> tuple[Concept, ...]:
        """The broader concepts, nearest first; a cycle in a faulty vocabulary ends the walk."""
        found: dict[str, Concept] = {}
        above = self.by_notation.get(concept.broader or "")
        while above is not None and above.notation not in found and above is not concept:
            found[above.notation] = above
            above = self.by_notation.get(above.broader or "")
        return tuple(found.values())

    def lineage(self, concept: Concept, facet: str) -> tuple[Concept, ...]:
        """What a concept counts for in a facet: itself and the broader ones that are of it, nearest first."""
        return tuple(one for one in (concept, *self.ancestors(concept)) if one.facet == facet)

    def is_inside(self, concept: Concept) -> bool:
        """Whether a frame under this concept shows no face, no skin and no name: it or a broader one says `inside`."""
        return concept.inside or any(above.inside for above in self.ancestors(concept))


def label_in(labels: Mapping[str, str], language: str) -> str:
    """The text in a language, else in English, else in any, else nothing."""
    return labels.get(language) or labels.get(DEFAULT_LANGUAGE) or next(iter(labels.values()), "")


def _as_set(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(set(texts)))


def folded(name: str) -> str:
    """Letter case, hyphens, dashes and runs of blanks make no difference to what a name means."""
    for dash in "-\u2010\u2011\u2012\u2013\u2014_":
        name = name.replace(dash, " ")
    return " ".join(name.casefold().split())
