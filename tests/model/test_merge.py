"""Two edited copies become one case: by hand, and for any edits."""

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import InvalidEdit
from annotator.model.case import Case, Eye, Tag
from annotator.model.facts import CONSENT_WITHDRAWN, Fact
from annotator.model.merge import Copy, Merged, merge
from annotator.model.own_terms import add_term, new_term
from annotator.model.place import parse_place
from tests.measure.cases import case, tag, vocabulary

SHARED = case(tag("ports", 0, 10_000), tag("core", 10_000, 50_000), tag("removal", 80_000, 100_000))


def stamped(one: Tag, minute: int) -> Tag:
    """The tag as it is changed at a minute; it was made then, if it has not been changed before."""
    now = datetime(2026, 11, 28, 20, minute, tzinfo=UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    return replace(one, created=one.created or now, modified=now)


BASE = replace(SHARED, tags=[stamped(one, 0) for one in SHARED.tags])
PORTS, CORE, REMOVAL = BASE.tags


def with_those(*tags: Tag) -> Case:
    return replace(BASE, tags=tags)


def both(one: Case, other: Case, revisions: tuple[int, int] = (3, 3)) -> Merged:
    """Merged either way round, which must make no difference."""
    copies = [Copy(one, revisions[0]), Copy(other, revisions[1])]
    there, back = merge(*copies), merge(*reversed(copies))
    assert there == back
    return there


def test_what_each_has_changed_and_added_is_in_the_whole() -> None:
    noted, later = stamped(replace(CORE, note="slow"), 5), stamped(replace(REMOVAL, start=81_000), 6)
    added = [stamped(tag("shave", 50_000, 60_000), 7), stamped(tag("bleeding", 55_000, 55_000), 8)]
    found = both(with_those(PORTS, noted, REMOVAL, added[0]), with_those(PORTS, CORE, later, added[1]))
    assert list(found.case.tags) == [PORTS, noted, added[0], added[1], later]
    assert found.conflicts == ()
    assert [one.says for one in found.taken] == [
        "Core vitrectomy at 00:00:10.000 was changed in one copy; before: note none",
        "Port removal at 00:01:21.000 was changed in one copy; before: start 00:01:20.000",
    ]


def test_what_both_have_changed_is_a_conflict_and_both_versions_stay() -> None:
    mine, yours = stamped(replace(CORE, end=40_000), 5), stamped(replace(CORE, end=45_000, note="slow"), 6)
    found = both(with_those(PORTS, mine, REMOVAL), with_those(PORTS, yours, REMOVAL))
    assert [one.says for one in found.conflicts] == [
        "Core vitrectomy at 00:00:10.000 was changed in both copies; kept beside it as proposed: end 00:00:40.000, "
        "note none"
    ]
    assert found.conflicts[0].tag_id == CORE.id
    assert found.case.tag(CORE.id) == yours
    (proposed,) = [one for one in found.case.tags if not one.confirmed]
    assert replace(proposed, id=CORE.id, confirmed=True) == mine


def test_a_conflict_is_not_proposed_twice() -> None:
    mine, yours = stamped(replace(CORE, end=40_000), 5), stamped(replace(CORE, end=45_000), 6)
    first = both(with_those(PORTS, mine, REMOVAL), with_those(PORTS, yours, REMOVAL)).case
    assert list(both(first, with_those(PORTS, mine, REMOVAL)).case.tags) == list(first.tags)


def test_what_was_changed_and_changed_back_is_no_conflict() -> None:
    back, yours = stamped(CORE, 7), stamped(CORE, 5)
    found = both(with_those(PORTS, back, REMOVAL), with_those(PORTS, yours, REMOVAL))
    assert (found.case.tag(CORE.id), found.conflicts, found.taken) == (back, (), ())


def test_a_place_is_the_same_in_whatever_order_its_fields_stand() -> None:
    fields = sorted(parse_place("1-6 mid-periphery; fovea"))
    mine, yours = (
        stamped(replace(CORE, place=frozenset(order), note=note), 5)
        for order, note in ((fields, "a"), (fields[::-1], "b"))
    )
    found = both(with_those(PORTS, mine, REMOVAL), with_those(PORTS, yours, REMOVAL))
    assert "place" not in found.conflicts[0].says


def test_a_tag_that_was_deleted_in_one_copy_stays_and_is_told() -> None:
    found = both(with_those(PORTS, CORE), BASE)
    assert list(found.case.tags) == [PORTS, CORE, REMOVAL]
    assert [one.says for one in found.conflicts] == [
        "Port removal at 00:01:20.000 is kept; the other copy has probably deleted it"
    ]


def test_of_all_else_the_copy_with_more_changes_counts_and_what_differs_is_told() -> None:
    mine = replace(BASE, title="Mine", eye=Eye.LEFT, is_done=True, extra={"a": 1})
    yours = replace(BASE, title="Yours", extra={"a": 2, "b": 3})
    found = both(mine, yours, (3, 9))
    assert (found.case.title, found.case.eye, found.case.is_done) == ("Yours", Eye.LEFT, False)
    assert found.case.extra == {"a": 2, "b": 3}
    assert {one.says for one in found.conflicts} == {
        "title: “Yours” is kept; the other is “Mine”",
        "a: “2” is kept; the other is “1”",
    }


def test_every_field_of_a_case_is_merged() -> None:
    """A new field would else be that of one copy, and be lost with the other."""
    merged = {"id", "title", "vocabulary", "recordings", "tags", "eye", "extra", "kind", "roles", "blind_to", "is_done"}
    assert set(Case.__struct_fields__) == merged | {"facts"}


def test_facts_of_both_are_there_and_withdrawn_consent_counts() -> None:
    mine = replace(BASE, facts=(Fact("consent", CONSENT_WITHDRAWN), Fact("gauge", "25-gauge")))
    yours = replace(BASE, facts=(Fact("finding", "macular-hole"), Fact("consent", "consent-given")))
    for revisions in ((1, 9), (9, 1)):
        found = both(mine, yours, revisions)
        assert {fact.name: fact.value for fact in found.case.facts} == {
            "consent": CONSENT_WITHDRAWN,
            "gauge": "25-gauge",
            "finding": "macular-hole",
        }
        assert [one.says for one in found.conflicts] == [
            "consent: “consent-withdrawn” is kept; the other is “consent-given”"
        ]


def test_terms_that_each_has_added_are_all_there() -> None:
    mine, yours = (add_term(BASE, new_term(BASE, name, under="vitrectomy")).case for name in ("Buckling", "Drainage"))
    found = both(mine, yours)
    assert {"buckling", "drainage"} <= set(found.case.vocabulary.by_notation)
    assert found.conflicts == ()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda one: replace(one, id="urn:test:another"), "not two copies of one case"),
        (lambda one: replace(one, recordings=one.recordings * 2), "different recordings"),
        (lambda one: replace(one, vocabulary=replace(vocabulary(), version="2")), "different vocabularies"),
    ],
)
def test_what_does_not_belong_together_is_refused(change: Callable[[Case], Case], says: str) -> None:
    with pytest.raises(InvalidEdit, match=says):
        merge(Copy(BASE, 0), Copy(change(BASE), 0))


@st.composite
def edited(draw: st.DrawFn) -> Case:
    """The case after some edits: tags changed, deleted and added, at minutes after the copies parted, or unstamped."""
    tags: list[Tag] = []
    for one in BASE.tags:
        match draw(st.sampled_from(["left", "left", "changed", "deleted"])):
            case "left":
                tags.append(one)
            case "changed":
                changed = replace(
                    one, end=one.start + draw(st.integers(1, 9)) * 1_000, note=draw(st.sampled_from("ab"))
                )
                tags.append(stamped(changed, draw(st.integers(0, 3))))
    for number in draw(st.lists(st.integers(0, 3), unique=True)):
        added = tag("bleeding", number * 1_000, number * 1_000)
        tags.append(draw(st.sampled_from([added, stamped(added, 1), stamped(added, 2)])))
    return replace(with_those(*tags), title=draw(st.sampled_from(["", "Mine", "Yours"])))


@given(edited(), edited(), st.integers(0, 1), st.integers(0, 1))
def test_nothing_is_lost_and_who_is_first_makes_no_difference(one: Case, other: Case, mine: int, yours: int) -> None:
    found = both(one, other, (mine, yours))
    merged, told = found.case.by_id, {difference.tag_id for difference in (*found.conflicts, *found.taken)}
    assert len(merged) == len(found.case.tags)
    kept = {replace(tag, id="", confirmed=True) for tag in map(_plain, found.case.tags)}
    superseded = {difference.tag_id for difference in found.taken}
    for version in (*one.tags, *other.tags):
        assert version.id in merged
        assert _plain(merged[version.id]) == _plain(version) or version.id in told
        assert replace(_plain(version), id="", confirmed=True) in kept or version.id in superseded
    assert {one.title, other.title} <= {found.case.title, ""} or any("title" in told.says for told in found.conflicts)


@given(edited())
def test_a_copy_and_itself_are_the_same(one: Case) -> None:
    found = both(one, one)
    assert (found.case, found.conflicts, found.taken) == (replace(one, tags=found.case.tags), (), ())
    assert list(found.case.tags) == list(one.tag_list)


def _plain(one: Tag) -> Tag:
    """What is said, whenever that was, so that it can be in a set."""
    return replace(one, extra=None, modified="")
