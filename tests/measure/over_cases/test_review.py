"""A case beside earlier ones and references, worked out by hand; and what must not change it."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import UnknownName
from annotator.measure.over_cases.cusum import design
from annotator.measure.over_cases.review import Asked, Review, StepReview, of_group, review
from annotator.measure.over_cases.series import LeftOut, Member, common_vocabulary, earlier, series
from annotator.measure.over_cases.series import member as member_of
from annotator.measure.over_cases.spread import Spread
from annotator.measure.over_cases.trend import NoTrend, Trend
from annotator.model.facts import Fact
from annotator.model.recording import Altered
from annotator.model.reference import OPERATION, Measured, Reference
from tests.measure.cases import case, tag, vocabulary
from tests.measure.over_cases.series_cases import core, member

NET = (50_000, 40_000, 44_000, 30_000, 36_000)
"""Of core vitrectomy in cases 1 to 5."""

TIMES = Asked()


def reviewed(members: list[Member], this: Member | None, *references: Reference, asked: Asked = TIMES) -> Review:
    everyone = [*members, *([this] if this else [])]
    return review(series(everyone, vocabulary()), this, references, asked)


def step(found: Review, notation: str) -> StepReview:
    return next(one for one in found.steps if one.notation == notation)


def own() -> list[Member]:
    return [core(number, net) for number, net in enumerate(NET, start=1)]


def reference(group: str, median: int, measured: Measured = Measured.ELAPSED) -> Reference:
    return Reference("core", group, 20, measured, "first bite", "last bite", "a unit (invented)", median=median)


def test_a_case_among_the_earlier_ones() -> None:
    found = step(reviewed(own(), core(6, 38_000)), "core")
    assert found.net.value == 38_000
    assert found.net.spread == Spread(5, 30_000, 36_000, 40_000, 44_000, 50_000)
    assert found.net.standing is not None
    assert (found.net.standing.smaller, found.net.standing.of, found.net.standing.share) == (2, 5, 0.4)


def test_no_share_of_four_cases() -> None:
    found = step(reviewed(own()[:4], core(6, 38_000)), "core")
    assert found.net.standing is not None
    assert (found.net.standing.smaller, found.net.standing.share) == (1, None)


def test_only_earlier_cases_count_and_the_case_itself_does_not() -> None:
    found = reviewed([*own(), core(7, 1_000)], core(6, 38_000))
    assert [one.number for one in found.members] == [1, 2, 3, 4, 5]
    assert found.left_out == (LeftOut("case-7", "is not earlier than this case"),)


def test_a_case_without_a_number_is_laid_beside_all_others() -> None:
    this = replace(core(6, 38_000), number=None)
    found = reviewed([*own(), core(7, 1_000)], this)
    assert len(found.members) == 6
    assert any("no case number" in note for note in found.notes)


def test_others_without_a_number_are_not_known_to_be_earlier() -> None:
    found = reviewed([*own(), replace(core(9, 1_000), number=None)], core(6, 38_000))
    assert found.left_out == (LeftOut("case-9", "has no case number"),)


def test_elapsed_time_is_apart_from_net_time() -> None:
    this = member(6, tag("core", 0, 10_000), tag("core", 30_000, 40_000))
    found = step(reviewed(own(), this), "core")
    assert (found.net.value, found.elapsed.value) == (20_000, 40_000)


def test_operating_time_stands_first() -> None:
    this = member(2, tag("ports", 5_000, 8_000), tag("removal", 50_000, 60_000))
    first = reviewed([], this).steps[0]
    assert (first.notation, first.net.value) == (OPERATION, 55_000)


def test_a_step_that_the_case_lacks_is_told_all_the_same() -> None:
    found = step(reviewed(own(), member(6, tag("ports", 0, 1_000))), "core")
    assert found.net.value is None
    assert found.net.standing is None
    assert found.net.spread is not None


def test_altered_recordings_are_left_out_unless_asked_for() -> None:
    fast = core(3, 1_000)
    recordings = tuple(replace(one, altered=(Altered.SPED_UP,)) for one in fast.case.recordings)
    fast = replace(fast, case=replace(fast.case, recordings=recordings))
    others = [own()[0], fast]
    assert series(others, vocabulary()).left_out == (LeftOut("case-3", "its recording is sped up"),)
    assert len(series(others, vocabulary(), with_altered=True).members) == 2


def test_running_tags_another_vocabulary_and_copies_are_left_out() -> None:
    running = member(2, tag("core", 0, None))
    other = core(3, 1_000)
    foreign = replace(vocabulary(), iri="https://surgical-step-annotator.example/vocab/other", name="other")
    other = replace(other, case=replace(other.case, vocabulary=foreign))
    copy = replace(own()[0], name="copy")
    found = series([own()[0], running, other, copy], vocabulary())
    assert {one.name: one.reason for one in found.left_out} == {
        "case-2": "a tag is still running",
        "case-3": "uses another vocabulary",
        "copy": "is of an operation that counts already",
    }


def filmed(one: Member, content: str) -> Member:
    """The case with recordings that are known by their content."""
    recordings = tuple(replace(recording, fingerprint=content) for recording in one.case.recordings)
    return replace(one, case=replace(one.case, recordings=recordings))


def test_two_peoples_tags_of_one_recording_count_once() -> None:
    first, second = filmed(core(3, 9_000), "a"), filmed(replace(core(4, 8_000), number=3, name="second"), "a")
    found = series([second, first, filmed(core(5, 7_000), "b")], vocabulary())
    assert [one.name for one in found.members] == ["case-3", "case-5"]
    assert found.left_out == (LeftOut("second", "is of an operation that counts already", "as case-3"),)
    assert earlier(found, filmed(core(9, 1_000), "a")).members == found.members[1:]


def test_an_older_version_of_the_vocabulary_is_carried_over() -> None:
    new = vocabulary()
    shave = new.by_notation["shave"]
    renamed = tuple(
        replace(one, iri=f"{new.iri}#whole", notation="whole", replaces=("core", "shave"))
        if one.notation == "core"
        else one
        for one in new.concepts
        if one is not shave
    )
    newer = replace(new, version="2", concepts=renamed)
    old = member(1, tag("core", 0, 10_000), tag("shave", 10_000, 30_000))
    found = review(series([old], newer), None, (), Asked())
    assert step(found, "whole").net.spread == Spread(1, *[30_000] * 5)


def test_tags_that_can_not_be_carried_over_are_told() -> None:
    fewer = replace(
        vocabulary(), version="0", concepts=tuple(one for one in vocabulary().concepts if one.notation != "core")
    )
    found = review(series(own(), fewer), None, (), Asked())
    assert "With tags whose terms this vocabulary lacks, which are not counted: 5 cases." in found.notes


def test_references_of_opposite_sign_stand_side_by_side() -> None:
    found = step(reviewed([], core(6, 38_000), reference("A", 30_000), reference("B", 45_000)), "core")
    assert [(one.reference.group, one.difference) for one in found.against] == [("A", 8_000), ("B", -7_000)]
    assert found.disagree


def test_references_of_one_sign_agree() -> None:
    found = step(reviewed([], core(6, 38_000), reference("A", 30_000), reference("B", 31_000)), "core")
    assert not found.disagree


def test_a_reference_is_held_against_the_time_that_it_measured() -> None:
    this = member(6, tag("core", 0, 10_000), tag("core", 30_000, 40_000))
    net, elapsed = reference("A", 30_000, Measured.NET), reference("B", 30_000)
    found = step(reviewed([], this, net, elapsed), "core")
    assert [one.difference for one in found.against] == [-10_000, 10_000]


def test_a_group_of_cases_is_a_reference() -> None:
    found = {(one.step, one.measured): one for one in of_group(series(own(), vocabulary()), "fellows")}
    group = found["core", Measured.NET]
    assert (group.group, group.n, group.median, group.lower_quartile, group.upper_quartile) == (
        "fellows",
        5,
        40_000,
        36_000,
        44_000,
    )


def test_the_trend_takes_the_case_itself_in() -> None:
    seven = [core(number, 50_000 - 1_000 * number) for number in range(1, 8)]
    alone = step(reviewed(seven, None), "core").trend
    with_this = step(reviewed(seven, core(8, 40_000)), "core").trend
    assert isinstance(alone, NoTrend)
    assert isinstance(with_this, Trend)
    assert with_this.points[-1] == (8, 40_000)


def test_shares_of_performers_and_within_a_category() -> None:
    others = [
        member(1, tag("core", 0, 10_000, performer="teacher"), tag("bimanual", 0, 5_000)),
        member(2, tag("core", 0, 10_000, performer="trainee")),
    ]
    this = member(3, tag("core", 0, 8_000, performer="trainee"), tag("core", 8_000, 10_000, performer="teacher"))
    found = step(reviewed(others, this, asked=Asked(within=["technique"])), "core").shares
    assert [(one.facet, one.notation, one.label, one.beside.value) for one in found] == [
        ("performer", "teacher", "Teacher", 0.2),
        ("performer", "trainee", "Trainee", 0.8),
        ("technique", "bimanual", "Bimanual", 0.0),
    ]
    teacher = found[0].beside.spread
    assert teacher is not None
    assert (teacher.n, teacher.median) == (2, 0.5)


def test_an_unknown_category_is_refused() -> None:
    with pytest.raises(UnknownName):
        reviewed(own(), None, asked=Asked(within=["tecnique"]))


def test_the_cusum_counts_numbered_cases_in_their_order() -> None:
    bled = [number in (2, 3, 4, 5) for number in range(1, 7)]
    members = [
        member(number, tag("bleeding", 5, 5)) if happened else member(number)
        for number, happened in enumerate(bled, start=1)
    ]
    unnumbered = member(9, tag("bleeding", 5, 5), numbered=False)
    asked = Asked(event="bleeding", design=design(0.10, 0.20))
    watched = reviewed([*members[::-1], unnumbered], None, asked=asked).watched
    assert watched is not None
    assert [at.happened for at in watched.cusum.path] == bled
    (signal,) = watched.cusum.signals
    assert [watched.members[one].number for one in signal.cases] == [2, 3, 4, 5]


def test_an_event_that_never_happened_has_a_path_too() -> None:
    asked = Asked(event="bleeding", design=design(0.10, 0.20))
    watched = reviewed(own(), None, asked=asked).watched
    assert watched is not None
    assert (watched.label, len(watched.cusum.path), watched.cusum.signals) == ("Bleeding", 5, ())


def test_a_review_of_no_case_at_all_is_empty() -> None:
    found = reviewed([], None)
    assert (found.steps, found.members, found.events.counts) == ((), (), ())


nets = st.lists(st.integers(1, 90_000), min_size=1, max_size=6)


@given(nets, st.randoms(use_true_random=False))
def test_the_order_in_which_cases_come_changes_nothing(found: list[int], random: Random) -> None:
    members = [core(number, net, performer="trainee") for number, net in enumerate(found, start=1)]
    this = core(len(found) + 1, 45_000)
    assert reviewed(random.sample(members, len(members)), this) == reviewed(members, this)


@given(nets, st.integers(2, 90_000))
def test_one_more_shorter_case_moves_the_place_by_one(found: list[int], net: int) -> None:
    members = [core(number, time) for number, time in enumerate(found, start=1)]
    this = core(50, net)
    before = step(reviewed(members, this), "core").net.standing
    after = step(reviewed([*members, core(49, 1)], this), "core").net.standing
    assert before is not None
    assert after is not None
    assert (after.smaller, after.of) == (before.smaller + 1, before.of + 1)


def test_earlier_leaves_nothing_out_twice() -> None:
    found = series([*own(), replace(own()[0], name="copy")], vocabulary())
    assert [one.name for one in earlier(found, own()[4]).left_out] == ["copy"]


@pytest.mark.parametrize(
    ("number", "month", "known"),
    [
        ("12", "2026-03", (12, "2026-03")),
        ("", "2026", (None, "2026")),
        ("0", "March", (None, "")),
        ("9" * 5_000, "Jane", (None, "")),
        ("１２", "２０２６", (None, "")),
    ],
)
def test_what_the_facts_of_a_case_say(number: str, month: str, known: tuple[int | None, str]) -> None:
    facts = tuple(Fact(name, value) for name, value in (("case-number", number), ("month", month)) if value)
    found = member_of(replace(case(), facts=facts), "a file")
    assert (found.number, found.month) == known


def test_cases_without_consent_are_left_out() -> None:
    withdrawn = own()[0]
    withdrawn = replace(withdrawn, case=replace(withdrawn.case, facts=(Fact("consent", "consent-withdrawn"),)))
    assert series([withdrawn], vocabulary()).left_out == (LeftOut("case-1", "its consent is withdrawn"),)


def test_the_vocabulary_of_a_period_is_that_of_most_cases() -> None:
    foreign = replace(vocabulary(), iri="https://surgical-step-annotator.example/vocab/a", name="a")
    members = own()
    other = replace(members[0], case=replace(members[0].case, vocabulary=foreign))
    assert common_vocabulary([other, *members[1:]]) == vocabulary()
    assert common_vocabulary([]) is None
