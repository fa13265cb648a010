"""Which colour a tag has: its phase's, or none."""

from collections.abc import Mapping

from annotator.desktop.tokens import PHASE_COLOURS
from annotator.model.vocabulary import Concept, Vocabulary


def top_of(vocabulary: Vocabulary, concept: Concept) -> Concept | None:
    """The concept of the first exclusive facet that a concept lies under, or is; None for events, techniques ..."""
    facet = next((facet.name for facet in vocabulary.facets if facet.exclusive), None)
    lineage = (concept, *vocabulary.ancestors(concept))
    return next((above for above in lineage if above.facet == facet), None)


def phase_colours(vocabulary: Vocabulary) -> Mapping[str, str]:
    """A colour for each concept that has a phase, by IRI; phases take the colours in the order of the vocabulary."""
    tops = {concept.iri: top for concept in vocabulary.concepts if (top := top_of(vocabulary, concept))}
    order = list(dict.fromkeys(top.iri for top in tops.values()))
    return {iri: PHASE_COLOURS[order.index(top.iri) % len(PHASE_COLOURS)] for iri, top in tops.items()}
