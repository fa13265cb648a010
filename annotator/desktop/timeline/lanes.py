"""Which lanes the timeline has."""

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

from annotator.desktop.timeline.bands import FacetBand, ImpliedBand
from annotator.desktop.timeline.lane import Lane
from annotator.desktop.timeline.overview import Overview
from annotator.desktop.timeline.ruler import Ruler
from annotator.model.case import Case
from annotator.model.vocabulary import Facet


class LaneSet(Enum):
    """All lanes, the few that a low window has room for, or the fewest: the folded timeline's."""

    ALL = "all"
    FEW = "few"
    FEWEST = "fewest"


class Lanes(NamedTuple):
    """`fixed` lanes stand above the `rows`, which scroll; the first so many rows, `usual`, are meant to be seen."""

    fixed: Sequence[Lane]
    rows: Sequence[Lane]
    usual: int


def lanes_for(case: Case, film: Lane, sound: Lane, lane_set: LaneSet) -> Lanes:
    """Overview and ruler; film, sound, a band for each exclusive facet and each other with tags or moments.

    A few: those facets that are tagged in any case, one at a time or by moments, and below them all others. The
    fewest: only the finest exclusive facet, the steps.
    """
    top: list[Lane] = [Overview(case), Ruler()]
    if lane_set is LaneSet.FEWEST:
        finest = [facet for facet in case.vocabulary.facets if facet.exclusive][-1:]
        return Lanes(top, [FacetBand(case, facet) for facet in finest], 1)
    main, others = bands_of(case)
    if lane_set is LaneSet.FEW:
        return Lanes(top, [film, *main, sound, *others], 1 + len(main))
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}
    bands = sorted([*main, *others], key=lambda band: order[band.facet.name])
    return Lanes(top, [film, sound, *bands], 2 + len(bands))


def bands_of(case: Case) -> tuple[list[FacetBand | ImpliedBand], list[FacetBand]]:
    """Of the facets that are tagged in any case, one at a time or by moments, and of all others that have tags."""
    terms = frozenset[str]().union(*(block.concepts for block in case.tag_list.blocks))
    used = {concept.facet for iri in terms if (concept := case.vocabulary.concept(iri))}
    main: list[FacetBand | ImpliedBand] = []
    others: list[FacetBand] = []
    for facet in case.vocabulary.facets:
        if facet.exclusive and facet.name not in used and _holds_others(case, facet):
            main.append(ImpliedBand(case, facet))
        elif facet.exclusive or facet.moments:
            main.append(FacetBand(case, facet))
        elif facet.name in used:
            others.append(FacetBand(case, facet))
    return main, others


def _holds_others(case: Case, facet: Facet) -> bool:
    """Whether concepts of other facets lie under this one's, as steps do under phases."""
    mine = {concept.notation for concept in case.vocabulary.in_facet(facet.name)}
    return any(concept.broader in mine and concept.facet != facet.name for concept in case.vocabulary.concepts)
