"""Every figure equals the one got another way: a numpy array of milliseconds, and the library `portion`."""

from fractions import Fraction
from itertools import pairwise
from math import floor
from statistics import median

import numpy as np
import portion
import pytest
from hypothesis import given

from annotator.measure.durations import summarise
from annotator.measure.rows import Row
from annotator.model.case import Case, Tag
from annotator.model.roles import ROLES_OF_1_0
from tests.measure.cases import CONCEPTS
from tests.measure.grid import Grid, runs
from tests.measure.strategies import LENGTH, cases

PARENT = {notation: parent for notation, _, parent, _ in CONCEPTS}
FACET = {notation: facet for notation, facet, *_ in CONCEPTS}
LONG = tuple(notation for notation, facet in FACET.items() if facet != "event")


def notation(tag: Tag) -> str:
    return tag.concept.partition("#")[2]


def counts_for(tag: Tag, facet: str) -> str | None:
    """The concept of a facet that a tag counts for, worked out from the table of concepts alone."""
    name: str | None = notation(tag)
    while name is not None and FACET[name] != facet:
        name = PARENT[name]
    return name


def covered(tags: list[Tag]) -> Grid:
    grid = np.zeros(LENGTH, bool)
    for tag in tags:
        grid[tag.start : tag.end] = True
    return grid


def by_concept(case: Case, facet: str) -> dict[str, list[Tag]]:
    groups: dict[str, list[Tag]] = {}
    for tag in case.tags:
        name = counts_for(tag, facet)
        if name is not None:
            groups.setdefault(name, []).append(tag)
    return groups


def half_up(value: Fraction | float) -> int:
    return floor(Fraction(value) + Fraction(1, 2))


def check_row(row: Row, grid: Grid) -> None:
    stays = runs(grid)
    lengths = [end - start for start, end in stays]
    assert row.visits == len(stays)
    assert row.total == int(grid.sum())
    assert row.timed == len(lengths)
    if len(lengths) > 1:
        assert row.longest == max(lengths)
        assert row.mean == half_up(Fraction(int(grid.sum()), len(stays)))
        assert row.median == half_up(median(lengths))
    else:
        assert (row.longest, row.mean, row.median) == (None, None, None)
    assert row.share == pytest.approx(float(grid.mean()))
    assert row.first_start == int(np.argmax(grid))


@pytest.mark.parametrize("facet", ["phase", "step", "technique"])
@given(cases(LONG))
def test_rows_equal_a_count_on_a_grid(facet: str, case: Case) -> None:
    rows = {row.notation: row for row in summarise(case, facet).rows}
    groups = by_concept(case, facet)
    assert rows.keys() == groups.keys()
    for name, tags in groups.items():
        check_row(rows[name], covered(tags))


@given(cases(LONG))
def test_rows_by_performer_equal_a_count_on_a_grid(case: Case) -> None:
    summary = summarise(case, "step", by_performer=True)
    assert summary.by_performer is not None
    found = {group.performer: {row.notation: row for row in group.rows} for group in summary.by_performer}
    for role in (*ROLES_OF_1_0.by_code, None):
        mine = {name: [tag for tag in tags if tag.performer == role] for name, tags in by_concept(case, "step").items()}
        mine = {name: tags for name, tags in mine.items() if tags}
        assert found.get(role, {}).keys() == mine.keys()
        for name, tags in mine.items():
            check_row(found[role][name], covered(tags))


@pytest.mark.parametrize("facet", ["phase", "step", "technique"])
@given(cases(LONG))
def test_untagged_and_overlapping_time_equal_a_count_on_a_grid(facet: str, case: Case) -> None:
    summary = summarise(case, facet)
    groups = by_concept(case, facet)
    depth = sum((covered([tag]).astype(int) for tags in groups.values() for tag in tags), np.zeros(LENGTH, int))
    own = [tag for tags in groups.values() for tag in tags if FACET[notation(tag)] == facet]
    under_two_tags = sum((covered([tag]).astype(int) for tag in own), np.zeros(LENGTH, int)) >= 2
    under_two_concepts = sum((covered(tags).astype(int) for tags in groups.values()), np.zeros(LENGTH, int)) >= 2
    may_overlap = facet == "technique"
    assert summary.untagged == (None if may_overlap else int((depth == 0).sum()))
    assert summary.overlap == (None if may_overlap else int((under_two_tags | under_two_concepts).sum()))


@given(cases(LONG))
def test_totals_equal_the_unions_of_another_library(case: Case) -> None:
    everything = portion.closedopen(0, LENGTH)
    union = portion.empty()
    for row in summarise(case, "step").rows:
        mine = portion.empty()
        for tag in case.tags:
            if notation(tag) == row.notation:
                mine |= portion.closedopen(tag.start, LENGTH if tag.end is None else tag.end)
        lengths = [stay.upper - stay.lower for stay in mine]
        assert (row.visits, row.total) == (len(lengths), sum(lengths))
        assert row.longest == (max(lengths) if len(lengths) > 1 else None)
        union |= mine
    assert summarise(case, "step").untagged == sum(gap.upper - gap.lower for gap in everything - union if not gap.empty)


@given(cases(beyond=300))
def test_only_time_within_the_recording_counts(case: Case) -> None:
    for facet in ("phase", "step", "technique", "event"):
        summary = summarise(case, facet)
        if summary.untagged is not None and summary.overlap is not None:
            assert 0 <= summary.overlap <= summary.duration - summary.untagged <= summary.duration == LENGTH
        for row in summary.rows:
            if row.longest is not None and row.median is not None:
                assert 0 < row.median <= row.longest <= row.total <= row.timed * row.longest
            assert row.elapsed is None or row.total <= row.elapsed <= LENGTH
            assert 0 <= row.share <= 1
            assert row.operating_share is None or 0 <= row.operating_share <= 1
            assert 0 <= row.first_start <= LENGTH


@given(cases(LONG))
def test_each_change_of_step_is_counted_once(case: Case) -> None:
    stays = sorted(
        (start, -end, list(FACET).index(name), name)
        for name, tags in by_concept(case, "step").items()
        for start, end in runs(covered(tags))
    )
    names = [name for *_, name in stays]
    expected: dict[tuple[str, str], int] = {}
    for pair in pairwise(names):
        if pair[0] != pair[1]:
            expected[pair] = expected.get(pair, 0) + 1
    transitions = summarise(case, "step").transitions
    assert {(one.origin, one.to): one.count for one in transitions} == expected
    assert [one.count for one in transitions] == sorted((one.count for one in transitions), reverse=True)
