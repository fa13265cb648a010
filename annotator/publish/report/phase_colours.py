"""A colour for each phase, one and the same on screen and in print: the palette of Okabe and Ito, made for colour-blind
readers.

Masataka Okabe, Kei Ito, "Color Universal Design" (2008), https://jfly.uni-koeln.de/color/ .
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from annotator.measure.rollup import Settled, settled_parts
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


class CaseColours(NamedTuple):
    """Those of the phases by the IRI of each concept under them; and, part by part of a case, the phase of each tag
    that counts for the one in which it lies.
    """

    by_concept: Mapping[str, Colour]
    settled: tuple[Settled, ...] = ()

    def of(self, concept: str, tag_id: str) -> Colour | None:
        """That of a tag, given the IRI of its concept; None for what has no phase."""
        line = next((part[tag_id] for part in self.settled if tag_id in part), None)
        return self.by_concept.get(line[0].iri if line else concept)

    def others_than(self, before: "CaseColours") -> set[str]:
        """The ids of the tags that lie in another phase than before, or that only one of the two has."""
        gone, come = _without(before.settled, self.settled), _without(self.settled, before.settled)
        return {tag_id for tag_id in gone.keys() | come.keys() if gone.get(tag_id) != come.get(tag_id)}


def _without(parts: Iterable[Settled], known: Iterable[Settled]) -> Settled:
    """What is in these parts, but for those that are known: they are the same objects."""
    same = {id(part) for part in known}
    return {tag_id: line for part in parts if id(part) not in same for tag_id, line in part.items()}


def case_colours(case: Case) -> CaseColours:
    """As an edit of one tag among tens of thousands leaves most of it as it is, that is quick to make again."""
    facet = _coarsest(case.vocabulary)
    return CaseColours(phase_colours(case.vocabulary), settled_parts(case, facet) if facet is not None else ())


def phase_fills(vocabulary: Vocabulary) -> Mapping[str, str]:
    """The grounds alone, as `#rrggbb`."""
    return {iri: colour.fill for iri, colour in phase_colours(vocabulary).items()}
