"""What the timeline keeps by block of tags from edit to edit is what all tags at once give."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.desktop.timeline.bands import FacetBand, ImpliedBand
from annotator.desktop.timeline.overview import Overview
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from tests.strategies import VOCABULARY, tags_close_together

END = 30

several = tags_close_together("core", "shaving", "removal", "bimanual", "bleeding", end=END)


def shown(case: Case) -> list[object]:
    """Rows, ranges and kinds of every lane of tags."""
    bands = [FacetBand(case, VOCABULARY.facet(name)) for name in ("step", "technique", "event")]
    implied, overview = ImpliedBand(case, VOCABULARY.facet("phase")), Overview(case)
    lanes: list[FacetBand | ImpliedBand | Overview] = [*bands, implied, overview]
    tables = [np.column_stack([one._extents._table, one._strokes._kinds]) for one in lanes]
    rows = [{tag.id: band.row_of(tag.id) for tag in case.tags} for band in bands]
    return [[(band.placed, band.rows) for band in bands], rows, *(table.tolist() for table in tables)]


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
