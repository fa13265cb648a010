"""Tags as chapters, by example: what is written, what is not, and that it is said."""

from msgspec.structs import replace

from annotator.measure.chapters import ChapterPlan, levels, plan
from annotator.model.case import Case, Tag
from annotator.model.vocabulary import Facet
from tests.measure.cases import case, tag, vocabulary

Shown = list[tuple[int, str, int, int]]


def shown(planned: ChapterPlan) -> Shown:
    """Level, title, start and end in seconds."""
    return [(one.level, one.title, one.start // 1000, one.end // 1000) for one in planned.chapters]


def kinds(planned: ChapterPlan) -> list[str]:
    return [remark.kind for remark in planned.remarks]


STEPS = (tag("ports", 0, 10_000), tag("infusion", 10_000, 15_000), tag("core", 20_000, 60_000))


def test_flat_chapters_are_the_tags_in_order_and_gaps_stay_gaps() -> None:
    planned = plan(case(*STEPS))
    assert shown(planned) == [
        (1, "Port placement", 0, 10),
        (1, "Infusion check", 10, 15),
        (1, "Core vitrectomy", 20, 60),
    ]
    assert planned.notes == ()


def test_titles_are_in_the_language_asked_for() -> None:
    assert [one.title for one in plan(case(*STEPS), language="de").chapters][2] == "Kernvitrektomie"


def test_fill_lets_a_chapter_last_until_the_next() -> None:
    planned = plan(case(*STEPS, tag("removal", 90_000, 95_000)), fill=True)
    assert shown(planned)[1:] == [
        (1, "Infusion check", 10, 20),
        (1, "Core vitrectomy", 20, 90),
        (1, "Port removal", 90, 95),
    ]
    assert planned.notes == (
        "The gap from 00:00:15.000 to 00:00:20.000 is closed by the chapter before it.",
        "The gap from 00:01:00.000 to 00:01:30.000 is closed by the chapter before it.",
    )


def test_of_two_that_overlap_the_earlier_stays_and_both_are_named() -> None:
    planned = plan(case(tag("core", 0, 30_000), tag("shave", 25_000, 50_000)))
    assert shown(planned) == [(1, "Core vitrectomy", 0, 30)]
    assert planned.notes == (
        "Base shaving (00:00:25.000 to 00:00:50.000) is left out, because it overlaps "
        "Core vitrectomy (00:00:00.000 to 00:00:30.000), which starts earlier.",
    )
    assert len(planned.left_out[0].tag_ids) == 2


def test_a_tag_inside_another_is_left_out_of_a_flat_list_and_nests_where_asked() -> None:
    tags = tag("core", 0, 30_000), tag("shave", 10_000, 20_000)
    flat, nested = plan(case(*tags)), plan(case(*tags), nested=True)
    assert shown(flat) == [(1, "Core vitrectomy", 0, 30)]
    assert "lies inside Core vitrectomy" in flat.notes[0]
    assert shown(nested) == [(1, "Vitrectomy: Core vitrectomy", 0, 30), (2, "Base shaving", 10, 20)]
    assert nested.left_out == ()


def test_moments_are_left_out_and_running_tags_last_to_the_end() -> None:
    events = plan(case(tag("bleeding", 5_000, 5_000), tag("pressure", 10_000, None)), facet="event")
    assert shown(events) == [(1, "Pressure raised", 10, 100)]
    assert kinds(events) == ["moment", "running"]


def test_what_reaches_beyond_the_recording_is_cut_and_what_lies_outside_is_left_out() -> None:
    planned = plan(case(tag("core", 90_000, 120_000), tag("shave", 130_000, 140_000)))
    assert shown(planned) == [(1, "Core vitrectomy", 90, 100)]
    assert kinds(planned) == ["beyond", "outside"]
    assert all("00:01:40.000" in note for note in planned.notes)


def test_the_first_and_the_last_millisecond_lie_within_the_recording() -> None:
    planned = plan(case(tag("ports", 0, 1), tag("core", 99_999, 100_000)))
    assert [(one.start, one.end) for one in planned.chapters] == [(0, 1), (99_999, 100_000)]
    assert planned.notes == ()


def test_an_unknown_term_is_its_own_title_and_gives_way_to_known_ones() -> None:
    def unknown(start: int, end: int) -> Tag:
        return Tag(f"urn:u:{start}", "https://surgical-step-annotator.example/vocab/old#stitch", start, end)

    planned = plan(case(*STEPS, unknown(70_000, 80_000), unknown(18_000, 30_000)))
    assert shown(planned)[-1] == (1, "stitch", 70, 80)
    assert len(planned.chapters) == 4
    assert kinds(planned) == ["unknown", "overlap", "unknown"]
    nested = plan(case(*STEPS, unknown(25_000, 30_000), unknown(18_000, 30_000)), nested=True)
    assert (2, "stitch", 25, 30) in shown(nested)
    assert [remark.at for remark in nested.left_out] == [18_000]


def test_a_tag_that_is_only_proposed_is_written_and_said() -> None:
    planned = plan(case(replace(STEPS[0], confirmed=False)))
    assert shown(planned) == [(1, "Port placement", 0, 10)]
    assert kinds(planned) == ["proposed"]


def test_no_tag_gives_no_chapter_and_says_so() -> None:
    assert plan(case()).notes == ("There are no chapters, as no step is tagged from a start to an end.",)


def test_phases_are_implied_by_runs_of_their_steps() -> None:
    planned = plan(case(*STEPS, tag("shave", 60_000, 70_000), tag("infusion", 70_000, 75_000)), nested=True)
    assert shown(planned) == [
        (1, "Access", 0, 15),
        (2, "Port placement", 0, 10),
        (2, "Infusion check", 10, 15),
        (1, "Vitrectomy", 20, 70),
        (2, "Core vitrectomy", 20, 60),
        (2, "Base shaving", 60, 70),
        (1, "Access: Infusion check", 70, 75),
    ]
    assert planned.notes == (
        "“Access: Infusion check” at 00:01:10.000 is one chapter, because its parts have the same range.",
    )


def test_a_step_that_crosses_a_phases_end_is_split_there_and_said() -> None:
    phases = tag("access", 0, 12_000), tag("vitrectomy", 12_000, 60_000)
    planned = plan(case(*phases, *STEPS), nested=True)
    assert shown(planned) == [
        (1, "Access", 0, 12),
        (2, "Port placement", 0, 10),
        (2, "Infusion check", 10, 12),
        (1, "Vitrectomy", 12, 60),
        (2, "Infusion check", 12, 15),
        (2, "Core vitrectomy", 20, 60),
    ]
    assert [remark.says for remark in planned.splits] == [
        "Infusion check (00:00:10.000 to 00:00:15.000) is split in 2: Access ends at 00:00:12.000."
    ]


def test_a_technique_is_split_where_a_step_starts_or_ends() -> None:
    planned = plan(case(*STEPS, tag("bimanual", 12_000, 30_000)), nested=True)
    assert shown(planned) == [
        (1, "Access", 0, 15),
        (2, "Port placement", 0, 10),
        (2, "Infusion check", 10, 15),
        (3, "Bimanual", 12, 15),
        (1, "Bimanual", 15, 20),
        (1, "Vitrectomy: Core vitrectomy", 20, 60),
        (2, "Bimanual", 20, 30),
    ]
    assert "Infusion check ends at 00:00:15.000 and Core vitrectomy starts at 00:00:20.000" in planned.notes[0]


def test_three_levels_with_one_range_are_one_chapter() -> None:
    tags = tag("removal", 0, 10_000), tag("bimanual", 0, 10_000), tag("lift", 0, 10_000)
    assert shown(plan(case(*tags), nested=True)) == [(1, "Closure: Port removal: Bimanual, Lift and shave", 0, 10)]


def test_fill_closes_gaps_between_phases_and_steps_but_not_between_techniques() -> None:
    techniques = tag("bimanual", 1_000, 2_000), tag("lift", 4_000, 5_000)
    planned = plan(case(*STEPS, *techniques), nested=True, fill=True)
    assert shown(planned) == [
        (1, "Access", 0, 20),
        (2, "Port placement", 0, 10),
        (3, "Bimanual", 1, 2),
        (3, "Lift and shave", 4, 5),
        (2, "Infusion check", 10, 20),
        (1, "Vitrectomy: Core vitrectomy", 20, 60),
    ]


def test_the_levels_are_the_exclusive_facets_and_the_first_facet_after_them() -> None:
    assert levels(vocabulary()) == ("phase", "step", "technique")
    assert levels(vocabulary(), "phase") == ("phase", "step", "technique")
    assert levels(vocabulary(), "event") == ("phase", "step", "event")
    for_all = tuple(replace(facet, exclusive=False) for facet in vocabulary().facets)
    assert levels(replace(vocabulary(), facets=for_all), "technique") == ("technique",)
    only = (Facet("part", {"en": "Part"}, exclusive=True),)
    assert levels(replace(vocabulary(), facets=only, concepts=()), "part") == ("part",)


def test_techniques_alone_need_no_step_around_them() -> None:
    planned = plan(case(tag("bimanual", 0, 10_000), tag("lift", 5_000, 20_000)), nested=True)
    assert shown(planned) == [(1, "Bimanual", 0, 10)]
    assert kinds(planned) == ["overlap"]


def test_another_vocabulary_nests_by_its_own_facets() -> None:
    facets = tuple(
        Facet(name, {"en": name}, exclusive=name != "technique") for name in ("phase", "step", "technique", "event")
    )
    other = replace(vocabulary(), facets=facets)
    tags: tuple[Tag, ...] = (*STEPS, tag("pressure", 30_000, 40_000))
    planned = plan(Case("urn:c", "", other, case().recordings, tags), nested=True)
    assert levels(other) == ("phase", "step", "event")
    assert shown(planned)[-2:] == [(1, "Vitrectomy: Core vitrectomy", 20, 60), (2, "Pressure raised", 30, 40)]


def with_any_phase(*tags: Tag) -> Case:
    """Where the infusion check may fall in any phase."""
    made = case(*tags)
    concepts = [replace(one, any_phase=one.notation == "infusion") for one in made.vocabulary.concepts]
    return replace(made, vocabulary=replace(made.vocabulary, concepts=tuple(concepts)))


def test_a_step_of_any_phase_splits_no_phase_that_follows_from_the_steps() -> None:
    steps = tag("core", 0, 10_000), tag("infusion", 10_000, 12_000), tag("shave", 12_000, 20_000)
    assert shown(plan(with_any_phase(*steps), nested=True)) == [
        (1, "Vitrectomy", 0, 20),
        (2, "Core vitrectomy", 0, 10),
        (2, "Infusion check", 10, 12),
        (2, "Base shaving", 12, 20),
    ]


def test_an_operation_that_begins_with_a_step_of_any_phase_begins_with_the_phase_of_the_next() -> None:
    planned = plan(with_any_phase(tag("infusion", 0, 5_000), tag("core", 5_000, 9_000)), nested=True)
    assert shown(planned)[0] == (1, "Vitrectomy", 0, 9)
