"""Each kind of finding: when it is asked, when not, and in what words."""

from random import Random

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.measure.durations import summarise
from annotator.measure.finding_chains import LONG_GAP
from annotator.measure.finding_times import LONGEST_EVENT, SHORTEST
from annotator.measure.findings import findings, looked_for, questions
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.interval import total
from annotator.model.place import Eye, parse_place
from annotator.model.recording import Altered
from annotator.model.vocabulary import Vocabulary
from tests.measure.cases import IRI, case, tag
from tests.measure.grid import runs
from tests.measure.strategies import LENGTH, cases


def found(*tags: Tag, duration: int = 1_000_000) -> list[tuple[str, str]]:
    return [(finding.kind, finding.says) for finding in findings(case(*tags, duration=duration))]


CLEAN = (
    tag("ports", 0, 10_000),
    tag("core", 10_000, 60_000),
    tag("shave", 65_000, 80_000),
    tag("bimanual", 5_000, 70_000),
    tag("lift", 20_000, 30_000),
    tag("bleeding", 30_000, 30_000),
    tag("pressure", 30_000, 60_000),
    tag("removal", 80_000, 90_000),
)


def test_a_clean_case_has_none() -> None:
    assert found(*CLEAN) == []
    assert found() == []


def test_an_overlap_names_both_steps_and_what_they_share() -> None:
    overlapping = case(tag("core", 0, 30_000), tag("shave", 25_000, 50_000))
    (finding,) = findings(overlapping)
    assert finding.kind == "overlap"
    assert finding.says == (
        "Core vitrectomy (00:00:00.000 to 00:00:30.000) and Base shaving (00:00:25.000 to 00:00:50.000) "
        "share 5 s, but only one step can be under way at a time."
    )
    assert finding.at == 25_000
    assert set(finding.tag_ids) == set(overlapping.by_id)


def test_techniques_may_overlap_and_neighbours_may_touch() -> None:
    assert found(tag("bimanual", 0, 30_000), tag("lift", 10_000, 50_000)) == []
    assert found(tag("core", 0, 30_000), tag("shave", 30_000, 50_000)) == []


def test_a_running_step_overlaps_what_follows() -> None:
    says = dict(found(tag("core", 0, None), tag("shave", 25_000, 50_000), duration=60_000))
    assert says["running"] == "Core vitrectomy (00:00:00.000 on) is still running; end it where it ends."
    assert says["overlap"].startswith("Core vitrectomy (00:00:00.000 on) and Base shaving")


def test_a_long_gap_between_steps_is_asked_about_and_a_short_one_is_not() -> None:
    first, start = tag("core", 0, 60_000), 60_000 + LONG_GAP
    assert found(first, tag("shave", start - 1, start + 60_000)) == []
    assert found(first, tag("shave", start, start + 60_000)) == [
        (
            "gap",
            "Between Core vitrectomy (00:00:00.000 to 00:01:00.000) and Base shaving (00:02:00.000 to 00:03:00.000) "
            "no step is tagged for 1:00 min; is one missing?",
        )
    ]


def test_gaps_are_those_of_the_finest_exclusive_facet_in_use() -> None:
    assert [kind for kind, _ in found(tag("access", 0, 60_000), tag("closure", 300_000, 360_000))] == ["gap"]
    assert found(tag("access", 0, 60_000), tag("closure", 300_000, 360_000), tag("core", 60_000, 300_000)) == []


def test_unusual_order_is_a_question() -> None:
    assert found(tag("shave", 0, 50_000), tag("core", 50_000, 90_000)) == [
        (
            "order",
            "Base shaving begins at 00:00:00.000, before Core vitrectomy at 00:00:50.000, which it usually follows; "
            "was this tagged as meant?",
        )
    ]
    assert found(tag("core", 0, 20_000), tag("shave", 20_000, 50_000), tag("core", 50_000, 90_000)) == []
    again = tag("shave", 0, 10_000), tag("core", 10_000, 50_000), tag("shave", 50_000, 90_000)
    assert found(*again) == [], "what was done again later"
    assert found(tag("shave", 0, 50_000)) == [], "what was not done can't be out of order"


def test_tags_outside_the_recording() -> None:
    assert found(tag("core", 80_000, 120_000), duration=100_000) == [
        (
            "outside",
            "Core vitrectomy (00:01:20.000 to 00:02:00.000) reaches beyond the recording, which ends at 00:01:40.000.",
        )
    ]
    assert found(tag("core", 110_000, 120_000), duration=100_000) == [
        (
            "outside",
            "Core vitrectomy (00:01:50.000 to 00:02:00.000) lies outside the recording, which ends at 00:01:40.000.",
        )
    ]


def test_unknown_and_unconfirmed_tags() -> None:
    unknown = Tag("urn:u", f"{IRI}#stitch", 0, 5_000)
    assert found(unknown) == [
        ("unknown", f"{IRI}#stitch (00:00:00.000 to 00:00:05.000) has a term that the vocabulary tests does not know.")
    ]
    assert found(replace(tag("core", 0, 5_000), confirmed=False)) == [
        (
            "unconfirmed",
            "Core vitrectomy (00:00:00.000 to 00:00:05.000) is only proposed; confirm it or take it out.",
        )
    ]


def test_suspiciously_short() -> None:
    assert found(tag("core", 0, SHORTEST)) == []
    assert found(tag("core", 0, SHORTEST - 1)) == [
        ("short", "Core vitrectomy (00:00:00.000 to 00:00:00.499) lasts 0.499 s; was it meant?")
    ]
    assert [kind for kind, _ in found(tag("core", 5, 5))] == ["short"], "only an event may be a moment"
    assert found(tag("bleeding", 5, 5)) == []


def test_suspiciously_long() -> None:
    assert found(tag("pressure", 0, LONGEST_EVENT)) == []
    assert found(tag("pressure", 0, LONGEST_EVENT + 1)) == [
        (
            "long",
            "Pressure raised (00:00:00.000 to 00:05:00.001) lasts 5:00 min, and usually 5:00 min at most; "
            "was its end forgotten?",
        )
    ]
    tags = tag("ports", 0, 5_000), tag("core", 5_000, 98_000)
    assert found(*tags, duration=100_000) == [
        (
            "long",
            "Core vitrectomy (00:00:05.000 to 00:01:38.000) takes 93% of the case; was its end forgotten?",
        )
    ]
    assert found(tags[1], duration=100_000) == [], "a recording of one step is that step"


# --- the rules of a vocabulary -----------------------------------------------------------------------------------

RULES: dict[str, Rules] = {
    "core": Rules(UsualTime(3_000, 60_000), ("posterior",), expected_with=("ports",)),
    "shave": Rules(needs_before=("infusion", "access")),
    "lift": Rules(never_with=("bimanual",)),
    "bleeding": Rules(changes_performer=True),
    "removal": Rules(UsualTime(5_000, 9_000)),
}


def with_rules(vocabulary: Vocabulary, rules: dict[str, Rules]) -> Vocabulary:
    concepts = [replace(one, rules=rules.get(one.notation, one.rules)) for one in vocabulary.concepts]
    return replace(vocabulary, concepts=tuple(concepts))


IN_A_FEW_MS = with_rules(
    case().vocabulary,
    {
        **RULES,
        "core": Rules(UsualTime(5, 20), needs_before=("ports",)),
        "bleeding": Rules(UsualTime(2, 9), never_with=("core", "pressure"), changes_performer=True),
    },
)


def asked(*tags: Tag, eye: Eye | None = Eye.LEFT, duration: int = 1_000_000) -> list[tuple[str, str]]:
    there = case(*tags, duration=duration)
    there = replace(there, vocabulary=with_rules(there.vocabulary, RULES), eye=eye)
    return [(finding.kind, finding.says) for finding in findings(there)]


def test_an_occurrence_is_asked_about_by_what_is_usual_of_its_concept() -> None:
    assert asked(tag("core", 0, 3_000)) == asked(tag("core", 0, 60_000)) == []
    assert asked(tag("core", 0, 2_999)) == [
        (
            "short",
            "Core vitrectomy (00:00:00.000 to 00:00:02.999) lasts 2.999 s, and usually 3 s at least; "
            "was this all of it?",
        )
    ]
    assert asked(tag("core", 0, 2_000), tag("core", 2_000, 4_000)) == [], "one occurrence"
    assert len(asked(tag("core", 0, SHORTEST - 1))) == 1, "as a tag, and not again as an occurrence"
    ((kind, says),) = asked(tag("core", 0, 40_000), tag("core", 40_000, 61_000))
    assert (kind, "lasts 1:01 min, and usually 1:00 min at most" in says) == ("long", True)
    assert [kind for kind, _ in asked(tag("core", 0, None))] == ["running"], "not while it runs"


@pytest.mark.parametrize(
    ("altered", "kinds"),
    [
        ((), ["short", "long"]),
        ((Altered.CUT,), ["long"]),
        ((Altered.SPED_UP,), ["long"]),
        ((Altered.SLOWED,), ["short"]),
        ((Altered.CUT, Altered.SLOWED), []),
    ],
)
def test_of_an_altered_film_only_what_its_times_can_tell_is_asked(
    altered: tuple[Altered, ...], kinds: list[str]
) -> None:
    there = case(tag("core", 0, 2_000), tag("core", 10_000, 80_000), duration=1_000_000)
    (film,) = there.recordings
    there = replace(there, vocabulary=with_rules(there.vocabulary, RULES), recordings=(replace(film, altered=altered),))
    assert [finding.kind for finding in findings(there)] == kinds


def test_a_narrower_step_is_as_long_and_lies_where_the_broader_one_does_unless_it_says_its_own() -> None:
    there = case(replace(tag("shave", 0, 70_000), place=parse_place("4 far periphery")), duration=1_000_000)

    def kinds(rules: Rules) -> set[str]:
        ours = with_rules(there.vocabulary, {**RULES, "shave": rules})
        concepts = [replace(one, broader="core") if one.notation == "shave" else one for one in ours.concepts]
        vocabulary = replace(ours, concepts=tuple(concepts))
        return {finding.kind for finding in findings(replace(there, vocabulary=vocabulary, eye=Eye.LEFT))}

    assert {"long", "place"} <= kinds(Rules())
    assert kinds(Rules(UsualTime(most=80_000), ("far periphery",))).isdisjoint({"long", "place"})


def test_a_phase_says_nothing_of_how_long_its_steps_are() -> None:
    there = case(tag("shave", 0, 70_000))
    ours = with_rules(there.vocabulary, {"vitrectomy": Rules(UsualTime(most=10_000), ("posterior",))})
    assert findings(replace(there, vocabulary=ours)) == ()


def test_what_is_needed_before_is_asked_about_once() -> None:
    assert asked(tag("ports", 0, 5_000), tag("core", 5_000, 9_000), tag("shave", 9_000, 12_000)) == []
    assert asked(tag("shave", 0, 5_000), tag("shave", 9_000, 12_000)) == [
        (
            "before",
            "Base shaving begins at 00:00:00.000 without “Access” or “Infusion check” before it; is one missing?",
        )
    ]


def test_what_is_expected_is_missed_only_where_it_is_expected() -> None:
    ports, bleeding = tag("ports", 10, 4_000), tag("bleeding", 7_500, 7_500)
    assert asked(ports, bleeding, duration=10_000) == [
        ("missing", "Port placement is tagged, at 00:00:00.010, but no Core vitrectomy; is it missing?")
    ]
    assert asked(tag("infusion", 0, 4_000), bleeding, duration=10_000) == []
    assert asked(ports, duration=10_000) == [], "what follows is not tagged yet"


def test_what_excludes_something_else_is_not_there_at_the_same_time() -> None:
    assert asked(tag("bimanual", 0, 5_000), tag("lift", 5_000, 9_000)) == []
    assert asked(tag("bimanual", 0, 6_000), tag("lift", 5_000, 9_000)) == [
        (
            "together",
            "Lift and shave (00:00:05.000 to 00:00:09.000) and Bimanual (00:00:00.000 to 00:00:06.000) share 1 s, "
            "but one usually excludes the other; was this tagged as meant?",
        )
    ]
    long, short, lift = tag("bimanual", 0, 60_000), tag("bimanual", 1_000, 2_000), tag("lift", 30_000, 40_000)
    assert [kind for kind, _ in asked(long, short, lift)] == ["together"], "behind a shorter one"


@pytest.mark.parametrize(
    ("before", "after", "is_asked"),
    [
        ("trainee", "trainee", True),
        ("trainee", "teacher", False),
        ("trainee", None, False),
        (None, None, False),
    ],
)
def test_a_change_of_hands_is_asked_about_where_the_same_goes_on(
    before: str | None, after: str | None, is_asked: bool
) -> None:
    steps = tag("core", 0, 5_000, performer=before), tag("core", 6_000, 10_000, performer=after)
    assert [kind for kind, _ in asked(*steps, tag("bleeding", 5_500, 5_500))] == ["performer"] * is_asked
    under_way = tag("core", 0, 10_000, performer=before)
    assert [kind for kind, _ in asked(under_way, tag("bleeding", 5_000, 5_000))] == ["performer"] * (before is not None)


@pytest.mark.parametrize(
    ("place", "is_asked"),
    [("5 posterior", False), ("macula", False), ("4-6 far periphery", True), ("4 far periphery; 4 posterior", False)],
)
def test_a_place_that_is_not_the_usual_one_is_asked_about(place: str, is_asked: bool) -> None:
    found = asked(replace(tag("core", 0, 5_000), place=parse_place(place)))
    assert [kind for kind, _ in found] == ["place"] * is_asked
    if is_asked:
        assert found[0][1] == (
            "Core vitrectomy (00:00:00.000 to 00:00:05.000) is placed at 4-6 far periphery, and its usual place is "
            "posterior; was this tagged as meant?"
        )


def test_which_eye_it_is_is_asked_once_where_a_place_depends_on_it() -> None:
    first, second, middle = (
        replace(tag("infusion", at, at + 5_000), place=parse_place(place))
        for at, place in ((0, "4-6 far periphery"), (5_000, "3 posterior"), (10_000, "macula; posterior"))
    )
    assert asked(first, second, eye=None) == [
        (
            "eye",
            "Infusion check (00:00:00.000 to 00:00:05.000) is placed at 4-6 far periphery, but the case does not say "
            "which eye it is, and nasal and temporal depend on it; is it the right or the left?",
        )
    ]
    assert asked(first, second) == asked(middle, eye=None) == []


def test_it_says_what_it_looked_for() -> None:
    kinds = looked_for(replace(case(), vocabulary=with_rules(case().vocabulary, RULES)))
    assert "gaps from 60 s" in kinds
    assert {"what is needed before", "missing steps", "unusual places", "changes of performer"} <= {*kinds}
    assert "unusual places" not in looked_for(case())


def depths(one: Case, facet: str) -> np.ndarray[tuple[int], np.dtype[np.int_]]:
    """How many tags of a facet there are at each millisecond."""
    ranges = (one.range_of(tag) for tag in one.in_facet(facet))
    return sum(
        (np.isin(np.arange(LENGTH), np.arange(*covered)).astype(int) for covered in ranges), np.zeros(LENGTH, int)
    )


@given(cases())
def test_overlaps_are_found_where_a_grid_counts_two(one: Case) -> None:
    doubled = {start for facet in ("phase", "step") for start, _ in runs(depths(one, facet) >= 2)}
    asked = {finding.at for finding in findings(one) if "count" not in finding.says and finding.kind == "overlap"}
    assert doubled <= asked
    assert bool(doubled) == bool(asked)


@given(cases(beyond=100))
def test_time_of_steps_under_another_phase_is_what_durations_count_under_two(one: Case) -> None:
    steps_side_by_side = not (depths(one, "step") >= 2).any()
    phases_side_by_side = not (depths(one, "phase") >= 2).any()
    assume(steps_side_by_side and phases_side_by_side)
    asked = [finding for finding in findings(one) if finding.kind == "overlap"]
    ranges = [one.range_of(one.by_id[finding.tag_ids[0]]) for finding in asked]
    under = [
        one.range_of(one.by_id[tag_id]).common(over)
        for finding, over in zip(asked, ranges, strict=True)
        for tag_id in finding.tag_ids[1:]
    ]
    inside = [common for shared in under if shared and (common := shared.common(one.whole))]
    assert total(inside) == summarise(one, "phase").overlap


def test_a_step_under_the_tag_of_another_phase_is_asked_about_and_durations_say_the_same_time() -> None:
    vitrectomy, removal = tag("vitrectomy", 0, 60_000), tag("removal", 50_000, 64_000)
    one_of_them = vitrectomy, tag("core", 0, 50_000), removal, tag("closure", 60_000, 80_000)
    assert found(*one_of_them) == [
        (
            "overlap",
            "Port removal (00:00:50.000 to 00:01:04.000) counts for Closure, but 10 s of that lies under Vitrectomy "
            "(00:00:00.000 to 00:01:00.000); only one phase can be under way at a time.",
        )
    ]
    assert summarise(case(*one_of_them), "phase").overlap == 10_000
    ((_, says),) = found(*one_of_them[:3], tag("removal", 64_000, 70_000), tag("vitrectomy", 65_000, 70_000))[1:]
    assert says.startswith("Port removal (00:01:04.000 to 00:01:10.000) counts for Closure, but 5 s of that lies")


def test_several_steps_under_the_tag_of_another_phase_are_one_question() -> None:
    one = case(tag("vitrectomy", 0, 60_000), *(tag("ports", at, at + 5_000) for at in (5_000, 10_000, 40_000)))
    (finding,) = findings(one)
    assert finding.says == (
        "Port placement (00:00:05.000 to 00:00:10.000) and 2 more tags count for Access, but 15 s of that lies under "
        "Vitrectomy (00:00:00.000 to 00:01:00.000); only one phase can be under way at a time."
    )
    assert set(finding.tag_ids) == set(one.by_id)
    assert summarise(one, "phase").overlap == 15_000


def test_a_step_that_may_fall_in_any_phase_lies_under_no_other_than_that_which_it_counts_for() -> None:
    within = case(tag("vitrectomy", 0, 60_000), tag("closure", 60_000, 90_000), tag("removal", 50_000, 65_000))
    concepts = [replace(one, any_phase=one.notation == "removal") for one in within.vocabulary.concepts]
    within = replace(within, vocabulary=replace(within.vocabulary, concepts=tuple(concepts)))
    (finding,) = findings(within)
    assert "counts for Vitrectomy, but 5 s of that lies under Closure" in finding.says
    assert summarise(within, "phase").overlap == 5_000
    assert findings(with_tags(within, [], [within.tags[-1].id])) == ()


@given(cases(beyond=100))
def test_findings_are_in_order_of_time_and_name_tags_of_the_case(one: Case) -> None:
    times = [finding.at for finding in findings(one)]
    assert times == sorted(times)
    for finding in findings(one):
        assert finding.tag_ids
        assert set(finding.tag_ids) <= one.by_id.keys()
        assert finding.says.endswith((".", "?"))


@given(cases(beyond=100), st.lists(cases(beyond=100), min_size=1, max_size=3), st.randoms(use_true_random=False))
def test_what_is_known_of_a_case_before_a_change_makes_no_difference(
    one: Case, others: list[Case], chance: Random
) -> None:
    """Findings are kept by block from edit to edit; they are those of the same tags looked at as a whole."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 3)
        patch.setattr("annotator.measure.finding_chains.LONG_GAP", 20)
        one = replace(one, vocabulary=IN_A_FEW_MS)
        findings(one)
        for number, other in enumerate(others):
            put = [replace(tag, id=f"{tag.id}:{number}") if chance.random() < 0.5 else tag for tag in other.tags[:3]]
            one = with_tags(one, put, [tag.id for tag in one.tags if chance.random() < 0.1])
            known = findings(one), questions(one)
            with pytest.MonkeyPatch.context() as whole:
                whole.setattr(tag_list, "MOST", 1_000)
                anew = findings(replace(one, tags=tuple(one.tags)))
            assert known == (anew, sum(finding.kind != "running" for finding in anew))
