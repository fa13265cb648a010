"""What lay within a step, what interrupted it, and the operating time: by hand, and on a grid of milliseconds."""

import numpy as np
import pytest
from hypothesis import given

from annotator.measure.durations import summarise
from annotator.measure.within import PERFORMER, Part
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.recording import Altered
from annotator.model.roles import ROLES_OF_1_0
from annotator.publish.report import summary_csv
from annotator.publish.report.summary import summary_text
from tests.measure.cases import CONCEPTS, FACETS, case, tag
from tests.measure.grid import Grid, runs
from tests.measure.strategies import LENGTH, cases

FACET = {notation: facet for notation, facet, *_ in CONCEPTS}
EVENTS = {notation for notation, facet in FACET.items() if facet == "event"}


def notation(tag: Tag) -> str:
    return tag.concept.partition("#")[2]


def covered(case: Case, *notations: str, performer: str | None = None) -> Grid:
    grid = np.zeros(LENGTH, bool)
    for one in case.tags:
        if notation(one) in notations and performer in (None, one.performer):
            grid[one.start : one.end] = True
    return grid


def names(facet: str, case: Case) -> list[str]:
    tagged = {notation(tag) for tag in case.tags}
    return [name for name, of in FACET.items() if of == facet and name in tagged]


def test_the_parts_of_a_step_by_hand() -> None:
    found = summarise(
        case(
            tag("core", 0, 40_000),
            tag("core", 60_000, 80_000),
            tag("bimanual", 10_000, 30_000),
            tag("lift", 20_000, 70_000),
            tag("bleeding", 5_000, 5_000),
            tag("bleeding", 40_000, 40_000),
        ),
        within="technique",
    )
    assert found.within is not None
    (row,) = found.within.rows
    assert row.parts == (
        Part("bimanual", "Bimanual", 20_000, 20 / 60),
        Part("lift", "Lift and shave", 30_000, 0.5),
    )
    assert (row.total, row.rest) == (60_000, 20_000)
    assert [(part.label, part.total) for part in row.all_parts][-1] == ("None of them", 20_000)
    assert found.rows[0].elapsed == 80_000


def test_a_moment_within_a_step_is_counted_and_one_at_its_end_is_not() -> None:
    tags = (tag("core", 0, 40_000), tag("bleeding", 5_000, 5_000), tag("bleeding", 40_000, 40_000))
    found = summarise(case(*tags), within="event").within
    assert found is not None
    assert found.rows[0].parts == (Part("bleeding", "Bleeding", 0, 0.0, 1),)


def test_several_steps_are_summed_up_as_one_where_they_are_asked_for() -> None:
    tags = (
        tag("core", 0, 30_000, performer="teacher"),
        tag("shave", 20_000, 60_000, performer="trainee under guidance"),
        tag("ports", 70_000, 80_000, performer="teacher"),
    )
    found = summarise(case(*tags), of=("core", "shave"), within=PERFORMER)
    assert [row.notation for row in found.rows] == ["core", "shave"]
    assert found.together is not None
    assert (found.together.total, found.together.elapsed) == (60_000, 60_000)
    assert found.within is not None
    assert [(part.label, part.share) for part in found.within.rows[-1].parts] == [
        ("Teacher", 0.5),
        ("Trainee under guidance", 40 / 60),
    ]
    assert {change.origin for change in found.transitions} == {"core"}
    assert summarise(case(*tags), of=("core",)).together is None


def test_the_operation_runs_from_what_begins_it_to_what_ends_it() -> None:
    """The phase closure ends it in this vocabulary, and so does the step under it."""
    tags = (tag("ports", 5_000, 9_000), tag("ports", 50_000, 60_000), tag("removal", 70_000, 80_000))
    assert summarise(case(*tags)).operation == Interval(5_000, 80_000)
    assert summarise(case(*tags)).rows[0].operating_share == 14 / 75
    assert summarise(case(*tags[:2])).operation is None, "nothing ended it"
    assert summarise(case(tags[0], tag("removal", 70_000, None))).operation is None, "its end is still running"
    assert summarise(case(tags[2])).operation is None, "nothing began it"
    assert summarise(case(*tags[:1], tag("removal", 99_000, 120_000))).operation == Interval(5_000, 100_000)


@pytest.mark.parametrize("facet", ["technique", "event"])
@given(cases())
def test_parts_equal_a_count_on_a_grid(facet: str, case: Case) -> None:
    found = summarise(case, within=facet).within
    assert found is not None
    for row in found.rows:
        step = covered(case, row.notation)
        times = {name: int((step & covered(case, name)).sum()) for name in names(facet, case)}
        assert {part.notation: part.total for part in row.parts if part.total} == {n: t for n, t in times.items() if t}
        assert row.rest == int((step & ~covered(case, *names(facet, case))).sum())
        assert all(part.share == pytest.approx(part.total / step.sum()) for part in row.parts)


@given(cases())
def test_performers_equal_a_count_on_a_grid(case: Case) -> None:
    found = summarise(case, within=PERFORMER).within
    assert found is not None
    for row in found.rows:
        times = {role: int(covered(case, row.notation, performer=role).sum()) for role in ROLES_OF_1_0.by_code}
        assert {part.notation: part.total for part in row.parts} == {role: t for role, t in times.items() if t}


@given(cases())
def test_interruptions_equal_a_count_on_a_grid(case: Case) -> None:
    steps = names("step", case)
    for row in summarise(case).rows:
        grid = covered(case, row.notation)
        first, last = runs(grid)[0][0], runs(grid)[-1][1]
        between = np.zeros(LENGTH, bool)
        between[first:last] = ~grid[first:last]
        others = [name for name in (*steps, *EVENTS) if name != row.notation]
        times = {name: int((covered(case, name) & between).sum()) for name in others}
        assert {one.notation: one.total for one in row.interruptions} == {n: t for n, t in times.items() if t}
        assert row.elapsed == last - first


@given(cases())
def test_the_operating_time_and_each_share_of_it_equal_a_count_on_a_grid(case: Case) -> None:
    summary = summarise(case)
    starts = [tag.start for tag in case.tags if notation(tag) == "ports"]
    ends = [tag.end for tag in case.tags if notation(tag) in ("closure", "removal") and tag.end is not None]
    if not starts or not ends or max(ends) <= min(starts):
        assert summary.operation is None
        assert all(row.operating_share is None for row in summary.rows)
        return
    start, end = min(starts), max(ends)
    assert summary.operation == Interval(start, end)
    for row in summary.rows:
        share = covered(case, row.notation)[start:end].sum() / (end - start)
        assert row.operating_share == pytest.approx(share)


def test_every_facet_but_the_exclusive_ones_may_overlap() -> None:
    for facet in FACETS:
        found = summarise(case(tag("bleeding", 0, 10)), facet.name)
        assert (found.untagged is None) == (not facet.exclusive)


def test_times_of_a_recording_that_is_altered_are_never_given_without_saying_so() -> None:
    base = case(tag("core", 0, 10_000))
    altered = edits.mark_altered(edits.mark_altered(base, 0, Altered.SPED_UP).case, 0, Altered.CUT).case
    summary = summarise(altered)
    assert summary.altered == (Altered.CUT, Altered.SPED_UP)
    assert summary.notes == (
        "The recording is marked as cut and sped up: times are those of the film, not of the operation.",
    )
    assert edits.mark_altered(altered, 0, Altered.CUT).case.recordings[0].altered == (Altered.SPED_UP,)
    for form in ("table", "csv", "json", "html"):
        text, _ = summary_text(altered, form)
        assert "sped up" in str(text).lower(), form
        assert "sped up" not in str(summary_text(base, form)[0]).lower()
    for table in (summary_csv.dumps_places(summary), summary_csv.dumps_occurrences(altered, "step")):
        assert table.splitlines()[0].endswith(",altered")
