"""A case, its clock over several recordings, and what is derived from its fields."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import UnknownName
from annotator.model.case import Case, Spot, Tag, with_tags
from annotator.model.delta import applied, between
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from tests.strategies import VOCABULARY, cases, tags

TWO_FILES = Case("urn:c", "", VOCABULARY, (Recording("urn:a", "", "", 60_000), Recording("urn:b", "", "", 30_000)))


@pytest.mark.parametrize(
    ("at", "spot"),
    [
        (0, Spot(0, 0)),
        (59_999, Spot(0, 59_999)),
        (60_000, Spot(1, 0)),
        (89_999, Spot(1, 29_999)),
        (90_000, Spot(1, 30_000)),
        (95_000, Spot(1, 35_000)),
        (-1, Spot(0, -1)),
    ],
)
def test_a_time_of_the_case_is_a_recording_and_a_time_within_it(at: int, spot: Spot) -> None:
    assert TWO_FILES.spot(at) == spot
    assert TWO_FILES.at(spot) == at


@given(cases(), st.integers(-1_000, 12 * 3_600_000))
def test_a_time_goes_to_its_recording_and_back(case: Case, at: int) -> None:
    spot = case.spot(at)
    assert case.at(spot) == at
    if 0 <= at < case.duration:
        assert 0 <= spot.at < case.recordings[spot.recording].duration


@given(cases())
def test_recordings_follow_each_other_without_gap(case: Case) -> None:
    lengths = [later - earlier for earlier, later in pairwise(case.borders)]
    assert lengths == [recording.duration for recording in case.recordings]
    assert case.duration == sum(lengths) == case.whole.length


@given(cases())
def test_a_running_tag_covers_what_is_left(case: Case) -> None:
    for tag in case.tags:
        covered = case.range_of(tag)
        assert covered.start == tag.start
        assert covered.end == (max(tag.start, case.duration) if tag.end is None else tag.end)


@given(cases(most_tags=12), st.data())
def test_the_tags_over_a_frame_are_those_that_have_begun_and_not_ended(case: Case, data: st.DataObject) -> None:
    """Asked near every edge, where a search that stops too soon would show."""
    edges = [edge for tag in case.tags for edge in (tag.start, tag.end) if edge is not None]
    at = data.draw(st.sampled_from(edges or [0])) + data.draw(st.integers(-1, 1))
    assert case.covering(at) == [tag for tag in case.tags if tag.start <= at and (tag.end is None or at < tag.end)]


@given(cases(), cases())
def test_what_is_derived_follows_a_replaced_field(one: Case, other: Case) -> None:
    """msgspec.structs.replace copies whatever is cached on a struct, also where the field it came from is replaced."""
    assert len(one.by_id) == len(one.tags)
    assert one.borders[-1] == one.duration
    changed = replace(one, tags=other.tags, recordings=other.recordings)
    assert changed.by_id == other.by_id
    assert changed.borders == other.borders
    assert one.by_id == {tag.id: tag for tag in one.tags}
    renamed = replace(VOCABULARY, concepts=VOCABULARY.concepts[:1])
    assert VOCABULARY.by_notation.keys() > renamed.by_notation.keys()


@given(cases(), st.lists(tags(10_000), max_size=4), st.data())
def test_tags_are_put_and_dropped_as_in_a_dictionary(case: Case, put: list[Tag], data: st.DataObject) -> None:
    known = sorted(case.by_id)
    drop = set(data.draw(st.lists(st.sampled_from(known)))) if known else set()
    if known:
        put += [replace(tag, id=data.draw(st.sampled_from(known))) for tag in put[:1]]
    expected = {tag.id: tag for tag in case.tags if tag.id not in drop} | {tag.id: tag for tag in put}
    assert with_tags(case, put, drop).tags == in_order(expected.values())


@given(cases(), cases())
def test_a_difference_leads_there_and_back(before: Case, other: Case) -> None:
    mixed = replace(other, tags=in_order({tag.id: tag for tag in (*before.tags[::2], *other.tags)}.values()))
    for after in (mixed, replace(before, tags=mixed.tags), replace(before, title=other.title), before):
        forward, backward = between(before, after)
        assert applied(before, forward) == after
        assert applied(after, backward) == before
        assert forward.is_empty == backward.is_empty == (before == after)


def test_a_tag_that_is_not_there_is_named() -> None:
    with pytest.raises(UnknownName, match="urn:nowhere"):
        TWO_FILES.tag("urn:nowhere")
