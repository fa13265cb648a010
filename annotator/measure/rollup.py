"""Which concepts of a facet a tag counts for: its own, and every broader one of that facet."""

from collections.abc import Iterable, Mapping

from annotator.model.case import Tag
from annotator.model.vocabulary import Concept, Vocabulary


def lineages(vocabulary: Vocabulary, tags: Iterable[Tag], facet: str) -> Mapping[str, tuple[Concept, ...]]:
    """By concept IRI of the tags given: the concepts of `facet` that such a tag counts for, nearest first.

    A step counts for the phase above it; a phase does not count for the steps below. Terms that the
    vocabulary does not know, and concepts with nothing of the facet above them, are not in the result.
    """
    found: dict[str, tuple[Concept, ...]] = {}
    for iri in {tag.concept for tag in tags}:
        concept = vocabulary.concept(iri)
        if concept is not None:
            line = tuple(one for one in (concept, *vocabulary.ancestors(concept)) if one.facet == facet)
            if line:
                found[iri] = line
    return found
