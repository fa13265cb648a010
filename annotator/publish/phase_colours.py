"""A colour for each phase, in print and on screen: the palette of Okabe and Ito, made for colour-blind readers.

Okabe and Ito, "Color Universal Design" (2008), https://jfly.uni-koeln.de/color/ .
"""

from collections.abc import Mapping
from typing import NamedTuple

from annotator.model.vocabulary import Concept, Vocabulary


class Colour(NamedTuple):
    """A ground, and whether it is so deep that white is legible on it (4.5:1 or more), else dark ink is."""

    fill: str
    is_deep: bool = False


PLAIN = Colour("#a9b5c0")
"""Of techniques, instruments and whatever belongs to no phase."""

_PHASES = (
    Colour("#56b4e9"),
    Colour("#f0e442"),
    Colour("#009e73"),
    Colour("#e69f00"),
    Colour("#0072b2", is_deep=True),
    Colour("#d55e00"),
    Colour("#cc79a7"),
    Colour("#8c96a0"),
)


def phase_colours(vocabulary: Vocabulary) -> Mapping[str, Colour]:
    """By IRI, for each concept under the first exclusive facet; its concepts take the colours in turn."""
    facet = next((one.name for one in vocabulary.facets if one.exclusive), "")
    phases: dict[str, Colour] = {}
    colours: dict[str, Colour] = {}
    for concept in vocabulary.concepts:
        phase = _phase(vocabulary, concept, facet)
        if phase is not None:
            colours[concept.iri] = phases.setdefault(phase.iri, _PHASES[len(phases) % len(_PHASES)])
    return colours


def _phase(vocabulary: Vocabulary, concept: Concept, facet: str) -> Concept | None:
    return next((one for one in (concept, *vocabulary.ancestors(concept)) if one.facet == facet), None)
