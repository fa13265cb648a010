"""What holds for the chapters of any case, however its tags overlap."""

from itertools import pairwise

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.captions import ffmetadata, webvtt
from annotator.measure.chapters import Chapter, ChapterPlan, plan
from annotator.model.case import Case
from annotator.model.interval import Interval
from tests.measure.cases import CONCEPTS
from tests.measure.grid import Grid
from tests.measure.strategies import FACET_OF, LENGTH, cases

LABELS = {label: notation for notation, _, _, label in CONCEPTS}


def span(chapter: Chapter) -> Interval:
    return Interval(chapter.start, chapter.end)


def concepts(chapter: Chapter) -> set[str]:
    """The notations behind a title such as `Closure: Port removal`."""
    return {LABELS[title] for level in chapter.title.split(": ") for title in level.split(", ")}


@given(cases(beyond=100), st.sampled_from(["phase", "step", "technique", "event"]), st.booleans(), st.booleans())
def test_any_two_chapters_lie_beside_or_inside_one_another(case: Case, facet: str, nested: bool, fill: bool) -> None:
    chapters = plan(case, facet=facet, nested=nested, fill=fill).chapters
    assert list(chapters) == sorted(chapters, key=lambda one: (one.start, -one.end))
    for at, one in enumerate(chapters):
        assert 0 <= one.start < one.end <= LENGTH
        around = [other for other in chapters[:at] if other.end > one.start]
        assert all(span(other).contains(span(one)) and span(other) != span(one) for other in around)
        assert one.level == len(around) + 1
    webvtt.dumps_chapters(chapters)


@given(cases(), st.sampled_from(["phase", "step", "technique", "event"]))
def test_a_flat_list_holds_each_tag_whole_or_names_it(case: Case, facet: str) -> None:
    planned = plan(case, facet=facet)
    left_out = {remark.tag_ids[0] for remark in planned.left_out}
    kept = [case.range_of(tag) for tag in case.in_facet(facet) if tag.id not in left_out]
    assert [span(chapter) for chapter in planned.chapters] == sorted(kept)
    assert all(one.end <= other.start for one, other in pairwise(planned.chapters))
    ffmetadata.dumps(planned.chapters)


@given(cases())
def test_nested_chapters_hold_each_tag_to_the_millisecond_or_name_it(case: Case) -> None:
    planned = plan(case, nested=True)
    left_out = {remark.tag_ids[0] for remark in planned.left_out}
    for name, facet in FACET_OF.items():
        if facet in ("step", "technique"):
            tags = [tag for tag in case.in_facet(facet) if tag.concept.endswith(f"#{name}") and tag.id not in left_out]
            written = [span(chapter) for chapter in planned.chapters if name in concepts(chapter)]
            assert np.array_equal(covered([case.range_of(tag) for tag in tags]), covered(written))


@given(cases(), st.sampled_from(["step", "technique"]))
def test_filled_chapters_leave_no_gap_between_them_and_start_where_they_did(case: Case, facet: str) -> None:
    plain, filled = plan(case, facet=facet), plan(case, facet=facet, fill=True)
    assert starts(plain) == starts(filled)
    assert all(one.end == other.start for one, other in pairwise(filled.chapters))
    assert [one.end for one in plain.chapters[-1:]] == [one.end for one in filled.chapters[-1:]]


@given(cases())
def test_every_left_out_tag_names_the_one_in_its_way(case: Case) -> None:
    for nested in (False, True):
        for remark in plan(case, nested=nested).left_out:
            if remark.kind == "overlap":
                one, other = (case.range_of(case.tag(tag_id)) for tag_id in remark.tag_ids)
                assert one.overlaps(other)


def starts(planned: ChapterPlan) -> list[tuple[int, str]]:
    return [(one.start, one.title) for one in planned.chapters]


def covered(ranges: list[Interval]) -> Grid:
    grid = np.zeros(LENGTH, bool)
    for start, end in ranges:
        grid[start:end] = True
    return grid
