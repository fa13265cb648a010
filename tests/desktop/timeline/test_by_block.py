"""What the timeline keeps by block of tags from edit to edit is what all tags at once give."""

from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.desktop.timeline.bands import FacetBand, ImpliedBand
from annotator.desktop.timeline.lane import Lane
from annotator.desktop.timeline.lanes import LaneSet, Tagged, kept_over, lanes_for
from annotator.desktop.timeline.overview import Overview
from annotator.desktop.timeline.ruler import Ruler
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.delta import between
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.store.session import Change
from tests.strategies import BASE, tags_close_together
from tests.strategies import VOCABULARY as DRAWN

END = 30

VOCABULARY = replace(DRAWN, concepts=tuple(replace(one, any_phase=one.notation == "removal") for one in DRAWN.concepts))
"""With a step that counts for the phase in which it lies, which may be that of a step in another block."""

several = tags_close_together("core", "shaving", "removal", "bimanual", "bleeding", end=END)


def shown(case: Case) -> list[object]:
    """Rows, ranges and kinds of every lane of tags."""
    bands = [FacetBand(case, VOCABULARY.facet(name)) for name in ("step", "technique", "event")]
    return told(case, [*bands, ImpliedBand(case, VOCABULARY.facet("phase")), Overview(case)])


def told(case: Case, lanes: Sequence[Lane]) -> list[object]:
    bands = [lane for lane in lanes if isinstance(lane, FacetBand)]
    tables = [np.vstack([one._extents._table, one._strokes._kinds]) for one in lanes if isinstance(one, Tagged)]
    rows = [{tag.id: band.row_of(tag.id) for tag in case.tags} for band in bands]
    return [[(band.facet, band.placed, band.rows) for band in bands], rows, *(table.tolist() for table in tables)]


@given(several, st.lists(several, max_size=3))
def test_lanes_after_an_edit_are_those_of_the_same_tags(first: list[Tag], changes: list[list[Tag]]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 3)
        case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", END),), in_order(first))
        for put in ([], *changes):
            case = with_tags(case, put, [tag.id for tag in case.tags][1::4])
            by_block = shown(case)
            with pytest.MonkeyPatch.context() as whole:
                whole.setattr(tag_list, "MOST", 1_000)
                assert by_block == shown(replace(case, tags=tuple(case.tags)))


@given(several, st.lists(st.tuples(several, st.integers(0, 4)), max_size=3), st.sampled_from(LaneSet))
def test_lanes_kept_over_an_edit_are_those_made_anew(
    first: list[Tag], changes: list[tuple[list[Tag], int]], lane_set: LaneSet
) -> None:
    case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", END),), in_order(first))
    shown_now = lanes_for(case, Ruler(), Ruler(), lane_set)
    for put, dropped in changes:
        after = with_tags(case, put, [tag.id for tag in case.tags][:dropped])
        kept = kept_over(Change("", case, after, between(case, after)[0]), shown_now)
        case, shown_now = after, lanes_for(after, Ruler(), Ruler(), lane_set, kept)
        anew = lanes_for(case, Ruler(), Ruler(), lane_set)
        assert told(case, [*shown_now.fixed, *shown_now.rows]) == told(case, [*anew.fixed, *anew.rows])


def test_a_lane_without_the_changed_tags_is_kept() -> None:
    tags = (Tag("urn:s", f"{BASE}#core", 0, 9), Tag("urn:t", f"{BASE}#bimanual", 2, 5))
    case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", END),), tags)
    lanes = lanes_for(case, Ruler(), Ruler(), LaneSet.ALL)
    after = with_tags(case, [replace(tags[1], end=6)])
    kept = kept_over(Change("", case, after, between(case, after)[0]), lanes)
    names = {lane.name for lane in (*lanes.fixed, *lanes.rows) if isinstance(lane, Tagged)}
    assert names - {lane.name for lane in kept} == {"technique"}
    renamed = replace(case, title="Another")
    assert not kept_over(Change("", case, renamed, between(case, renamed)[0]), lanes)
