"""What a case knows of its tags after a change, against what is worked out anew from the tags alone."""

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.delta import applied, between
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from annotator.model.vocabulary import Facet
from tests.strategies import VOCABULARY

LATEST = 40
"""Milliseconds; few, so that tags begin and end together all the time."""

times = st.integers(0, LATEST)
terms = st.sampled_from([*(concept.iri for concept in VOCABULARY.concepts), "urn:unknown"])
tags = st.builds(
    lambda number, concept, start, length: Tag(
        f"urn:{number:02}", concept, start, None if length is None else start + length
    ),
    st.integers(0, 30),
    terms,
    times,
    st.none() | st.sampled_from([0, 1, 5, LATEST]),
)
drawn = st.lists(tags, max_size=5)
several = st.lists(tags, min_size=1, max_size=20, unique_by=lambda tag: tag.id)


@pytest.fixture(autouse=True, scope="module")
def short_blocks() -> Iterator[None]:
    """A handful of tags makes several blocks."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 3)
        yield


class Changing(RuleBasedStateMachine):
    """Tags come, change and go; each case is made from the one before, and asked before it is changed again."""

    @initialize(drawn=several)
    def begin(self, drawn: list[Tag]) -> None:
        self.case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", LATEST),), in_order(drawn))

    @rule(put=drawn, drop=st.sets(st.integers(0, 30).map("urn:{:02}".format), max_size=4))
    def change(self, put: list[Tag], drop: set[str]) -> None:
        expected = {tag.id: tag for tag in self.case.tags if tag.id not in drop} | {tag.id: tag for tag in put}
        before, self.case = self.case, with_tags(self.case, put, drop)
        assert self.case.tags == in_order(expected.values())
        forward, backward = between(before, self.case)
        assert {tag.id for tag in forward.put} == {one.id for one in self.case.tags if before.by_id.get(one.id) != one}
        assert set(forward.drop) == before.by_id.keys() - self.case.by_id.keys()
        assert applied(before, forward) == self.case
        assert applied(self.case, backward) == before

    @invariant()
    def the_blocks_hold_the_tags(self) -> None:
        assert tuple(tag for block in self.case.tag_list.blocks for tag in block) == self.case.tags
        assert all(1 <= len(block) <= tag_list.MOST for block in self.case.tag_list.blocks)
        assert self.case.by_id == {tag.id: tag for tag in self.case.tags}

    @invariant()
    def what_is_asked_is_what_walking_finds(self) -> None:
        assert self.case.running == [tag for tag in self.case.tags if tag.end is None]
        edges = {0, LATEST} | {edge for tag in self.case.tags for edge in (tag.start, tag.end) if edge is not None}
        for at in range(-1, LATEST + 2, 5):
            assert self.case.boundary_before(at) == max((edge for edge in edges if edge < at), default=0)
            assert self.case.boundary_after(at) == min((edge for edge in edges if edge > at), default=LATEST)
            here = [tag for tag in self.case.tags if tag.start <= at and (tag.end is None or tag.end > at)]
            assert self.case.covering(at) == here
            for facet in VOCABULARY.facets:
                assert list(self.case.near(at, at + 3, facet.name)) == self.walked(at, at + 3, facet)

    def walked(self, first: int, last: int, facet: Facet) -> list[Tag]:
        return [
            tag
            for tag in self.case.tags
            if self.case.facet_of(tag) == facet and tag.start <= last and (tag.end is None or tag.end >= first)
        ]


Changing.TestCase.settings = settings(max_examples=60, stateful_step_count=15, deadline=None)
TestChanging = Changing.TestCase


@given(several, tags)
def test_a_change_leaves_all_blocks_but_its_own(before: list[Tag], come: Tag) -> None:
    """Or an edit among thousands would work out everything anew."""
    case = Case("urn:case", "", VOCABULARY, (Recording("urn:r", "", "", LATEST),), in_order(before))
    was = {id(block) for block in case.tag_list.blocks}
    kept = [block for block in with_tags(case, [come]).tag_list.blocks if id(block) in was]
    assert len(kept) >= len(case.tag_list.blocks) - (2 if come.id in case.by_id else 1)
