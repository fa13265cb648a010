"""Durations worked out by hand; the first example stands in docs/measures.md, step by step."""

import pytest
from msgspec.structs import replace

from annotator.errors import UnknownName
from annotator.measure.chapters import plan
from annotator.measure.durations import Transition, summarise, visits
from annotator.measure.interruptions import Interruption
from annotator.measure.rows import Row
from annotator.measure.stays import mean, median, stays
from annotator.model.case import Tag
from annotator.model.interval import Interval
from annotator.model.timecode import Ms
from tests.measure.cases import case, tag

EXAMPLE = case(
    tag("ports", 0, 10_000, performer="teacher"),
    tag("core", 10_000, 40_000, performer="trainee"),
    tag("core", 40_000, 50_000, performer="teacher"),
    tag("shave", 45_000, 70_000, performer="trainee"),
    tag("core", 80_000, 85_000),
    tag("removal", 90_000, 100_000, performer="trainee"),
)


def once(notation: str, label: str, start: Ms, length: Ms) -> Row:
    """A step that occurs once, in an operation that takes the whole recording of 100 s."""
    share = length / 100_000
    return Row(notation, label, 1, 1, length, length, None, None, None, share, share, start)


def test_the_worked_example_step_by_step() -> None:
    summary = summarise(EXAMPLE)
    shaving = (Interruption("shave", "Base shaving", 20_000),)
    assert summary.rows == (
        once("ports", "Port placement", 0, 10_000),
        Row(
            *("core", "Core vitrectomy", 2, 2, 45_000, 75_000, 40_000, 22_500, 22_500, 0.45, 0.45, 10_000),
            interruptions=shaving,
        ),
        once("shave", "Base shaving", 45_000, 25_000),
        once("removal", "Port removal", 90_000, 10_000),
    )
    assert summary.operation == Interval(0, 100_000)
    assert (summary.untagged, summary.overlap, summary.duration) == (15_000, 5_000, 100_000)
    assert summary.transitions == (
        Transition("ports", "core", 1),
        Transition("core", "shave", 1),
        Transition("shave", "core", 1),
        Transition("core", "removal", 1),
    )
    assert summary.notes == ()


def test_the_worked_example_rolled_up_to_phases() -> None:
    summary = summarise(EXAMPLE, "phase")
    assert summary.rows == (
        once("access", "Access", 0, 10_000),
        Row("vitrectomy", "Vitrectomy", 2, 2, 65_000, 75_000, 60_000, 32_500, 32_500, 0.65, 0.65, 10_000),
        once("closure", "Closure", 90_000, 10_000),
    )
    assert (summary.untagged, summary.overlap) == (15_000, 0), "two steps of one phase are one phase"
    assert summary.transitions == (Transition("access", "vitrectomy", 1), Transition("vitrectomy", "closure", 1))


def test_the_worked_example_by_performer() -> None:
    groups = summarise(EXAMPLE, by_performer=True).by_performer
    assert groups is not None
    found = {group.performer: {row.notation: (row.visits, row.total) for row in group.rows} for group in groups}
    assert found == {
        "teacher": {"ports": (1, 10_000), "core": (1, 10_000)},
        "trainee": {"core": (1, 30_000), "shave": (1, 25_000), "removal": (1, 10_000)},
        None: {"core": (1, 5_000)},
    }
    assert summarise(EXAMPLE).by_performer is None


def test_a_phase_counts_its_own_tags_and_those_of_its_steps_once() -> None:
    found = summarise(case(tag("vitrectomy", 0, 50_000), tag("core", 10_000, 60_000)), "phase")
    assert [(row.notation, row.visits, row.total) for row in found.rows] == [("vitrectomy", 1, 60_000)]
    assert found.overlap == 0, "a phase and its own step do not disagree"


def test_a_phase_over_a_step_of_another_phase_is_time_under_two() -> None:
    found = summarise(case(tag("closure", 0, 50_000), tag("core", 40_000, 60_000)), "phase")
    assert found.overlap == 10_000


def test_two_tags_of_one_step_are_time_under_two_tags() -> None:
    found = summarise(case(tag("core", 0, 30_000), tag("core", 20_000, 40_000)))
    assert [(row.visits, row.total) for row in found.rows] == [(1, 40_000)]
    assert found.overlap == 10_000


def test_a_moment_is_counted_and_takes_no_part_in_any_time() -> None:
    found = summarise(
        case(tag("bleeding", 5_000, 5_000), tag("bleeding", 20_000, 26_000), tag("bleeding", 26_000, 26_000)), "event"
    )
    assert found.rows == (Row("bleeding", "Bleeding", 2, 1, 6_000, None, None, None, None, 0.06, None, 5_000),)
    assert (found.untagged, found.overlap) == (None, None), "events may overlap as they like"


def test_three_moments_and_two_times_have_a_mean_of_the_two() -> None:
    bleedings = [tag("bleeding", at, at) for at in (1_000, 2_000, 3_000)]
    timed = [tag("bleeding", 10_000, 14_000), tag("bleeding", 20_000, 30_000)]
    (row,) = summarise(case(*bleedings, *timed), "event").rows
    assert (row.visits, row.timed, row.longest, row.mean, row.median) == (5, 2, 10_000, 7_000, 7_000)


@pytest.mark.parametrize(
    ("lengths", "expected_mean", "expected_median"),
    [([1, 2, 4], 2, 2), ([1, 2], 2, 2), ([1, 4], 3, 3), ([5], 5, 5), ([0, 0, 0, 1], 0, 0), ([1, 1, 2, 2], 2, 2)],
)
def test_halves_of_a_millisecond_are_rounded_up(lengths: list[int], expected_mean: int, expected_median: int) -> None:
    assert mean(lengths) == expected_mean
    assert median(lengths) == expected_median


def test_ranges_that_touch_are_one_stay() -> None:
    assert stays([(5, 9), (0, 3), (3, 5), (9, 9), (12, 12), (20, 30), (22, 25)]) == [(0, 9), (12, 12), (20, 30)]


def test_a_pause_within_one_step_is_no_transition() -> None:
    found = summarise(case(tag("core", 0, 10_000), tag("core", 20_000, 30_000), tag("shave", 30_000, 40_000)))
    assert found.transitions == (Transition("core", "shave", 1),)


def test_the_most_frequent_transition_comes_first() -> None:
    steps = ["ports", "core", "shave", "core", "shave", "core"]
    found = summarise(case(*(tag(name, at * 1_000, at * 1_000 + 500) for at, name in enumerate(steps))))
    assert [(one.origin, one.to, one.count) for one in found.transitions] == [
        ("core", "shave", 2),
        ("shave", "core", 2),
        ("ports", "core", 1),
    ]


def test_visits_are_in_order_of_start() -> None:
    assert [(one.concept.notation, one.start, one.end) for one in visits(EXAMPLE, "step")] == [
        ("ports", 0, 10_000),
        ("core", 10_000, 50_000),
        ("shave", 45_000, 70_000),
        ("core", 80_000, 85_000),
        ("removal", 90_000, 100_000),
    ]


def test_what_is_not_plain_is_said() -> None:
    unknown = Tag("urn:u", "https://surgical-step-annotator.example/vocab/other#thing", 1_000, 2_000)
    running, beyond, outside = tag("core", 50_000, None), tag("shave", 95_000, 120_000), tag("ports", 100_000, 130_000)
    proposed = Tag("urn:p", running.concept, 0, 1_000, confirmed=False)
    summary = summarise(case(unknown, running, beyond, outside, proposed))
    assert {row.notation: row.total for row in summary.rows} == {"core": 51_000, "shave": 5_000}
    assert summary.notes == (
        "https://surgical-step-annotator.example/vocab/other#thing at 00:00:01.000 is not in the vocabulary "
        "and is not counted.",
        "Core vitrectomy, started at 00:00:50.000, is still running and counts up to the end, 00:01:40.000.",
        "Base shaving (00:01:35.000 to 00:02:00.000) reaches beyond the recording, which ends at 00:01:40.000; "
        "only the part within counts.",
        "Port placement at 00:01:40.000 lies outside the recording, which ends at 00:01:40.000, and is left out.",
        "1 of 3 tags are only proposed and not confirmed; they are counted.",
    )


def test_what_chapters_and_durations_say_of_one_tag_is_one_sentence() -> None:
    """Whoever publishes both reads the sentences of both."""
    tags = tag("core", 50_000, None), tag("shave", 95_000, 120_000), tag("ports", 100_000, 130_000)
    assert set(summarise(case(*tags)).notes) == set(plan(case(*tags[1:])).notes) | set(plan(case(tags[0])).notes)


def test_a_case_without_tags_or_without_length_has_no_rows() -> None:
    empty = summarise(case())
    assert (empty.rows, empty.untagged, empty.overlap, empty.transitions) == ((), 100_000, 0, ())
    nothing = summarise(case(tag("core", 0, 5_000), duration=0))
    assert (nothing.rows, nothing.untagged) == ((), 0)


def test_an_unknown_facet_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match="step"):
        summarise(case(), "stepp")


def test_labels_are_in_the_language_asked_for_where_there_is_one() -> None:
    labels = [row.label for row in summarise(EXAMPLE, language="de").rows]
    assert labels == ["Port placement", "Kernvitrektomie", "Base shaving", "Port removal"]


def test_a_step_of_any_phase_counts_for_the_phase_in_which_it_lies() -> None:
    tags = tag("core", 0, 10_000), tag("infusion", 10_000, 12_000), tag("shave", 12_000, 20_000)
    made = case(*tags)
    free = [replace(one, any_phase=one.notation == "infusion") for one in made.vocabulary.concepts]
    there = replace(made, vocabulary=replace(made.vocabulary, concepts=tuple(free)))
    assert [(row.notation, row.total) for row in summarise(there, "phase").rows] == [("vitrectomy", 20_000)]
    assert [row.notation for row in summarise(made, "phase").rows] == ["access", "vitrectomy"]
    assert [row.notation for row in summarise(there, "step").rows] == ["infusion", "core", "shave"]
