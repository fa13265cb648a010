"""A colour for each phase, in print and on screen: the palette of Okabe and Ito, made for colour-blind readers.

Okabe and Ito, "Color Universal Design" (2008), https://jfly.uni-koeln.de/color/ .
"""

from collections.abc import Mapping
from typing import NamedTuple

from annotator.model.vocabulary import Concept, Vocabulary


class Colour(NamedTuple):
    """A ground, and an ink that is legible on it (4.5:1 or more)."""

    fill: str
    ink: str


_DARK, _LIGHT = "#17212b", "#ffffff"

PLAIN = Colour("#a9b5c0", _DARK)
"""Of techniques, instruments and whatever belongs to no phase."""

_PHASES = (
    Colour("#56b4e9", _DARK),
    Colour("#f0e442", _DARK),
    Colour("#009e73", _DARK),
    Colour("#e69f00", _DARK),
    Colour("#0072b2", _LIGHT),
    Colour("#d55e00", _DARK),
    Colour("#cc79a7", _DARK),
    Colour("#8c96a0", _DARK),
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
