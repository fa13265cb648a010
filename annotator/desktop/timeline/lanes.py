"""Which lanes the timeline has."""

from enum import Enum

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


def lanes_for(case: Case, film: Lane, sound: Lane, lane_set: LaneSet) -> list[Lane]:
    """Overview, ruler, film, sound, a band for each exclusive facet and each other with tags or moments.

    A few: no sound, and only the facets that are tagged in any case, one at a time or by moments. The fewest: of
    those below the ruler only the finest exclusive facet, the steps.
    """
    top: list[Lane] = [Overview(case), Ruler()]
    if lane_set is LaneSet.FEWEST:
        finest = [facet for facet in case.vocabulary.facets if facet.exclusive][-1:]
        return [*top, *(FacetBand(case, facet) for facet in finest)]
    used = {facet.name for tag in case.tags if (facet := case.facet_of(tag))}
    lanes = [*top, film] if lane_set is LaneSet.FEW else [*top, film, sound]
    for facet in case.vocabulary.facets:
        if facet.exclusive and facet.name not in used and _holds_others(case, facet):
            lanes.append(ImpliedBand(case, facet))
        elif facet.exclusive or facet.moments or (facet.name in used and lane_set is LaneSet.ALL):
            lanes.append(FacetBand(case, facet))
    return lanes


def _holds_others(case: Case, facet: Facet) -> bool:
    """Whether concepts of other facets lie under this one's, as steps do under phases."""
    mine = {concept.notation for concept in case.vocabulary.in_facet(facet.name)}
    return any(concept.broader in mine and concept.facet != facet.name for concept in case.vocabulary.concepts)
