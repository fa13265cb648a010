"""Which colour a tag has: its phase's, or none."""

from collections.abc import Mapping

from annotator.desktop.tokens import OTHER_PHASES, PHASE_COLOURS
from annotator.model.vocabulary import Concept, Vocabulary


def top_of(vocabulary: Vocabulary, concept: Concept) -> Concept | None:
    """The concept of the first exclusive facet that a concept lies under, or is; None for events, techniques ..."""
    facet = next((facet.name for facet in vocabulary.facets if facet.exclusive), None)
    lineage = (concept, *vocabulary.ancestors(concept))
    return next((above for above in lineage if above.facet == facet), None)


def phase_colours(vocabulary: Vocabulary) -> Mapping[str, str]:
    """A colour for each concept that has a phase, by IRI."""
    tops = {concept.iri: top for concept in vocabulary.concepts if (top := top_of(vocabulary, concept))}
    phases = list(dict.fromkeys(top.notation for top in tops.values()))
    named = {phase: PHASE_COLOURS[phase] for phase in phases if phase in PHASE_COLOURS}
    free = [colour for colour in OTHER_PHASES if colour not in named.values()] or list(OTHER_PHASES)
    others = [phase for phase in phases if phase not in named]
    colours = named | {phase: free[number % len(free)] for number, phase in enumerate(others)}
    return {iri: colours[top.notation] for iri, top in tops.items()}
