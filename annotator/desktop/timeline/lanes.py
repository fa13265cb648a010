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
from annotator.store.session import Change


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


Tagged = Overview | FacetBand | ImpliedBand
"""A lane of tags: those with one of its terms."""


def kept_over(change: Change, lanes: Lanes) -> list[Tagged]:
    """The lanes of tags that a change leaves as they are: none of theirs differs."""
    put, drop, head = change.delta
    before = change.before.by_id
    touched = {tag.concept for tag in put}
    touched |= {before[tag_id].concept for tag_id in (*drop, *(tag.id for tag in put)) if tag_id in before}
    tagged = (lane for lane in (*lanes.fixed, *lanes.rows) if isinstance(lane, Tagged))
    return [lane for lane in tagged if head is None and lane.terms.isdisjoint(touched)]


def lanes_for(case: Case, film: Lane, sound: Lane, lane_set: LaneSet, kept: Sequence[Tagged] = ()) -> Lanes:
    """Overview and ruler; film, sound, a band for each exclusive facet and each other with tags or moments.

    A few: those facets that are tagged in any case, one at a time or by moments, and below them all others. The
    fewest: only the finest exclusive facet, the steps. Those `kept` are taken as they are.
    """
    overview = next((lane for lane in kept if isinstance(lane, Overview)), None)
    top: list[Lane] = [overview or Overview(case), Ruler()]
    if lane_set is LaneSet.FEWEST:
        finest = [facet for facet in case.vocabulary.facets if facet.exclusive][-1:]
        return Lanes(top, [_band(case, facet, kept) for facet in finest], 1)
    main, others = bands_of(case, kept)
    if lane_set is LaneSet.FEW:
        return Lanes(top, [film, *main, sound, *others], 1 + len(main))
    order = {facet.name: place for place, facet in enumerate(case.vocabulary.facets)}
    bands = sorted([*main, *others], key=lambda band: order[band.facet.name])
    return Lanes(top, [film, sound, *bands], 2 + len(bands))


def bands_of(case: Case, kept: Sequence[Tagged] = ()) -> tuple[list[FacetBand | ImpliedBand], list[FacetBand]]:
    """Of the facets that are tagged in any case, one at a time or by moments, and of all others that have tags."""
    terms = frozenset[str]().union(*(block.concepts for block in case.tag_list.blocks))
    used = {concept.facet for iri in terms if (concept := case.vocabulary.concept(iri))}
    main: list[FacetBand | ImpliedBand] = []
    others: list[FacetBand] = []
    for facet in case.vocabulary.facets:
        if facet.exclusive and facet.name not in used and _holds_others(case, facet):
            same = (lane for lane in kept if isinstance(lane, ImpliedBand) and lane.facet == facet)
            main.append(next(same, None) or ImpliedBand(case, facet))
        elif facet.exclusive or facet.moments:
            main.append(_band(case, facet, kept))
        elif facet.name in used:
            others.append(_band(case, facet, kept))
    return main, others


def _band(case: Case, facet: Facet, kept: Sequence[Tagged]) -> FacetBand:
    same = (lane for lane in kept if isinstance(lane, FacetBand) and lane.facet == facet)
    return next(same, None) or FacetBand(case, facet)


def _holds_others(case: Case, facet: Facet) -> bool:
    """Whether concepts of other facets lie under this one's, as steps do under phases."""
    mine = {concept.notation for concept in case.vocabulary.in_facet(facet.name)}
    return any(concept.broader in mine and concept.facet != facet.name for concept in case.vocabulary.concepts)
