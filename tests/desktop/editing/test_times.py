"""The time so far, kept by block from edit to edit, against a count of every millisecond."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.desktop.editing.times import TimeSoFar
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from tests.strategies import VOCABULARY, tags_close_together

END = 30

several = tags_close_together("core", "bimanual", most=12, end=END)


def counted(case: Case, at: int) -> dict[str, int]:
    """A running tag counts up to the shown frame, an ended one whole, wherever that is."""
    covered: dict[str, set[int]] = {tag.concept: set() for tag in case.tags}
    for tag in case.tags:
        covered[tag.concept] |= set(range(tag.start, at if tag.end is None else tag.end))
    return {concept: len(found) for concept, found in covered.items()}


@given(several, st.lists(several, max_size=3))
def test_the_time_so_far_is_what_a_count_of_milliseconds_gives(first: list[Tag], changes: list[list[Tag]]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 3)
        case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", END),), in_order(first))
        for put in ([], *changes):
            case = with_tags(case, put, [tag.id for tag in case.tags][1::4])
            times = TimeSoFar(case)
            for at in range(0, END + 2, 4):
                assert times.at(at) == counted(case, at)
