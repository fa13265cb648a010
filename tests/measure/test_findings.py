"""Each kind of finding: when it is asked, when not, and in what words."""

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.measure.findings import LONGEST_EVENT, LONGEST_GAP, SHORTEST, findings, questions
from annotator.model import tag_list
from annotator.model.case import Case, Tag, with_tags
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
    first, start = tag("core", 0, 60_000), 60_000 + LONGEST_GAP
    assert found(first, tag("shave", start, start + 60_000)) == []
    assert found(first, tag("shave", start + 1, start + 60_000)) == [
        (
            "gap",
            "Between Core vitrectomy (00:00:00.000 to 00:01:00.000) and Base shaving (00:01:20.001 to 00:02:20.000) "
            "no step is tagged for 20.001 s; is one missing?",
        )
    ]


def test_gaps_are_those_of_the_finest_exclusive_facet_in_use() -> None:
    assert [kind for kind, _ in found(tag("access", 0, 60_000), tag("closure", 300_000, 360_000))] == ["gap"]
    assert found(tag("access", 0, 60_000), tag("closure", 300_000, 360_000), tag("core", 0, 300_000)) == []


def test_unusual_order_is_a_question() -> None:
    assert found(tag("shave", 0, 50_000), tag("core", 50_000, 90_000)) == [
        (
            "order",
            "Base shaving begins at 00:00:00.000, before Core vitrectomy at 00:00:50.000, which it usually follows; "
            "was this tagged as meant?",
        )
    ]
    assert found(tag("core", 0, 20_000), tag("shave", 20_000, 50_000), tag("core", 50_000, 90_000)) == []
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
        ("long", "Pressure raised (00:00:00.000 to 00:05:00.001) lasts 5:00 min; was its end forgotten?")
    ]
    tags = tag("ports", 0, 5_000), tag("core", 5_000, 98_000)
    assert found(*tags, duration=100_000) == [
        (
            "long",
            "Core vitrectomy (00:00:05.000 to 00:01:38.000) takes 93% of the case; was its end forgotten?",
        )
    ]
    assert found(tags[1], duration=100_000) == [], "a recording of one step is that step"


@given(cases())
def test_overlaps_are_found_where_a_grid_counts_two(one: Case) -> None:
    doubled = set()
    for facet in ("phase", "step"):
        ranges = [one.range_of(tag) for tag in one.in_facet(facet)]
        depth = sum(
            (np.isin(np.arange(LENGTH), np.arange(*covered)).astype(int) for covered in ranges), np.zeros(LENGTH)
        )
        doubled |= {start for start, _ in runs(depth >= 2)}
    asked = {finding.at for finding in findings(one) if finding.kind == "overlap"}
    assert doubled <= asked
    assert bool(doubled) == bool(asked)


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
        patch.setattr("annotator.measure.findings.LONGEST_GAP", 20)
        findings(one)
        for number, other in enumerate(others):
            put = [replace(tag, id=f"{tag.id}:{number}") if chance.random() < 0.5 else tag for tag in other.tags[:3]]
            one = with_tags(one, put, [tag.id for tag in one.tags if chance.random() < 0.1])
            known = findings(one), questions(one)
            with pytest.MonkeyPatch.context() as whole:
                whole.setattr(tag_list, "MOST", 1_000)
                anew = findings(replace(one, tags=tuple(one.tags)))
            assert known == (anew, sum(finding.kind != "running" for finding in anew))
