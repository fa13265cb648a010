"""A colour for each phase, one and the same on screen and in print: the palette of Okabe and Ito, made for colour-blind
readers.

Masataka Okabe, Kei Ito, "Color Universal Design" (2008), https://jfly.uni-koeln.de/color/ .
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from annotator.measure.rollup import settled_lines
from annotator.model.case import Case
from annotator.model.vocabulary import Concept, Vocabulary


class Colour(NamedTuple):
    """A ground, and whether it is so deep that white is legible on it (4.5:1 or more), else dark ink is."""

    fill: str
    is_deep: bool = False


PLAIN = Colour("#a9b5c0")
"""Of techniques, instruments and whatever belongs to no phase."""

PALETTE = (
    Colour("#f0e442"),
    Colour("#56b4e9"),
    Colour("#009e73"),
    Colour("#e69f00"),
    Colour("#0072b2", is_deep=True),
    Colour("#d55e00"),
    Colour("#cc79a7"),
    Colour("#8c96a0"),
)

_OWN = {
    "access": PALETTE[1],
    "vitrectomy": PALETTE[2],
    "membrane-work": PALETTE[3],
    "reattachment": PALETTE[4],
    "retinopexy": PALETTE[5],
    "tamponade": PALETTE[6],
    "closure": PALETTE[7],
}
"""By notation. These have the same colour in every vocabulary, so that two cases can be laid side by side."""


def top_of(vocabulary: Vocabulary, concept: Concept) -> Concept | None:
    """The concept of the first exclusive facet that a concept lies under, or is; None for events, techniques ..."""
    return _top(vocabulary.lines.get(concept.iri, ()), _coarsest(vocabulary))


def _top(line: Iterable[Concept], facet: str | None) -> Concept | None:
    return next((one for one in line if one.facet == facet), None)


def _coarsest(vocabulary: Vocabulary) -> str | None:
    return next((facet.name for facet in vocabulary.facets if facet.exclusive), None)


def phase_colours(vocabulary: Vocabulary) -> Mapping[str, Colour]:
    """By IRI, for each concept that has a phase. Phases without a colour of their own take in turn those that no phase
    of the vocabulary has.
    """
    facet = _coarsest(vocabulary)
    tops = {iri: top for iri, line in vocabulary.lines.items() if (top := _top(line, facet))}
    phases = {top.iri: top.notation for top in tops.values()}
    colours = {iri: _OWN[notation] for iri, notation in phases.items() if notation in _OWN}
    free = [colour for colour in PALETTE if colour not in colours.values()] or list(PALETTE)
    others = [iri for iri in phases if iri not in colours]
    colours |= {iri: free[number % len(free)] for number, iri in enumerate(others)}
    return {iri: colours[top.iri] for iri, top in tops.items()}


def case_colours(case: Case) -> Mapping[str, Colour]:
    """The same, and by the id of each tag that counts for the phase in which it lies the colour of that."""
    colours = phase_colours(case.vocabulary)
    facet = next((facet.name for facet in case.vocabulary.facets if facet.exclusive), None)
    settled = settled_lines(case, facet) if facet is not None else {}
    return {**colours, **{tag_id: colours[line[0].iri] for tag_id, line in settled.items()}}


def case_fills(case: Case) -> Mapping[str, str]:
    """The grounds of those alone, as `#rrggbb`."""
    return {iri: colour.fill for iri, colour in case_colours(case).items()}


def phase_fills(vocabulary: Vocabulary) -> Mapping[str, str]:
    """The grounds alone, as `#rrggbb`."""
    return {iri: colour.fill for iri, colour in phase_colours(vocabulary).items()}
