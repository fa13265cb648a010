"""Edits, each with what it must refuse."""

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidEdit, UnknownName
from annotator.model import edits
from annotator.model.case import Case, Eye, Tag
from annotator.model.place import Field
from annotator.model.recording import Recording, View
from annotator.model.tag_list import in_order
from tests.strategies import BASE, VOCABULARY


def tag(notation: str, start: int, end: int | None = None, **said: object) -> Tag:
    return replace(Tag(f"urn:{notation}:{start}", f"{BASE}#{notation}", start, end), **said)


def case(*tags: Tag) -> Case:
    return Case("urn:case", "Model eye", VOCABULARY, (Recording("urn:r", "", "", 100_000),), in_order(tags))


def ranges(edited: edits.Edited) -> list[tuple[str, int, int | None]]:
    return [(one.concept.partition("#")[2], one.start, one.end) for one in edited.case.tags]


def test_a_step_that_begins_ends_the_one_before() -> None:
    edited = edits.begin(case(tag("core", 0)), tag("shaving", 5_000))
    assert ranges(edited) == [("core", 0, 5_000), ("shaving", 5_000, None)]
    assert edited.says == "Shaving begins at 00:00:05.000; Core ends there"


def test_a_step_begun_inside_another_takes_over_the_rest() -> None:
    edited = edits.begin(case(tag("core", 0, 9_000)), tag("shaving", 5_000))
    assert ranges(edited) == [("core", 0, 5_000), ("shaving", 5_000, 9_000)]


def test_a_step_begun_in_a_gap_ends_where_the_next_starts() -> None:
    edited = edits.begin(case(tag("core", 0, 2_000), tag("removal", 9_000, 10_000)), tag("shaving", 5_000))
    assert ranges(edited)[1] == ("shaving", 5_000, 9_000)


def test_a_step_begun_where_one_starts_becomes_that_one() -> None:
    before = case(tag("core", 5_000, 9_000, note="kept"))
    edited = edits.begin(before, tag("shaving", 5_000))
    assert ranges(edited) == [("shaving", 5_000, 9_000)]
    assert edited.case.tags[0].note == "kept"
    assert edited.case.tags[0].id == before.tags[0].id


def test_where_a_table_brought_overlaps_beginning_ends_all_that_are_under_way() -> None:
    edited = edits.begin(case(tag("core", 0, 9_000), tag("removal", 5_000, 9_000)), tag("shaving", 5_000))
    assert ranges(edited) == [("core", 0, 5_000), ("shaving", 5_000, 9_000)]


def test_techniques_run_beside_each_other() -> None:
    edited = edits.begin(case(tag("bimanual", 0), tag("core", 0)), replace(tag("bimanual", 5_000), end=7_000))
    assert ranges(edited) == [("bimanual", 0, None), ("core", 0, None), ("bimanual", 5_000, None)]


def test_a_running_tag_is_finished_once() -> None:
    edited = edits.finish(case(tag("core", 1_000)), "urn:core:1000", 4_000)
    assert ranges(edited) == [("core", 1_000, 4_000)]
    with pytest.raises(InvalidEdit, match=r"already ended at 00:00:04\.000"):
        edits.finish(edited.case, "urn:core:1000", 5_000)
    for too_early in (999, 1_000):
        with pytest.raises(InvalidEdit):
            edits.finish(case(tag("core", 1_000)), "urn:core:1000", too_early)


def test_only_events_may_be_moments() -> None:
    assert ranges(edits.mark(case(), tag("bleeding", 3_000))) == [("bleeding", 3_000, 3_000)]
    attempts: list[Callable[[], object]] = [
        lambda: edits.mark(case(), tag("core", 3_000)),
        lambda: edits.add(case(), [tag("core", 3_000, 3_000)]),
        lambda: edits.retag(case(tag("bleeding", 3_000, 3_000)), "urn:bleeding:3000", f"{BASE}#core"),
    ]
    for refused in attempts:
        with pytest.raises(InvalidEdit, match="only events can be moments"):
            refused()


@pytest.mark.parametrize("wrong", [tag("core", 5_000, 4_000), tag("core", -1, 4_000)])
def test_a_tag_must_lie_the_right_way_round(wrong: Tag) -> None:
    with pytest.raises(InvalidEdit):
        edits.add(case(), [wrong])


def test_nothing_begins_before_the_recording_does() -> None:
    for refused in (edits.begin, edits.mark):
        with pytest.raises(InvalidEdit, match="before the recording"):
            refused(case(), tag("bleeding", -1))


def test_no_new_tag_takes_the_place_of_another() -> None:
    there = case(tag("core", 0, 9_000), tag("bleeding", 1_000, 1_000))
    twice = tag("bimanual", 0, 1_000)
    attempts: list[Callable[[], object]] = [
        lambda: edits.add(there, [tag("core", 0, 5_000)]),
        lambda: edits.add(there, [twice, twice]),
        lambda: edits.begin(there, replace(tag("bimanual", 0), id="urn:core:0")),
        lambda: edits.mark(there, replace(tag("bleeding", 0), id="urn:core:0")),
        lambda: edits.split(there, "urn:core:0", 5_000, "urn:bleeding:1000"),
    ]
    for refused in attempts:
        with pytest.raises(InvalidEdit, match="two tags can't have one id"):
            refused()


def test_an_edge_stops_at_the_neighbour() -> None:
    there = case(tag("core", 0, 5_000), tag("shaving", 5_000, 9_000))
    with pytest.raises(InvalidEdit, match=r"Core would run into Shaving, which starts at 00:00:05\.000"):
        edits.move_end(there, "urn:core:0", 5_001)
    with pytest.raises(InvalidEdit, match="Shaving would run into Core"):
        edits.move_start(there, "urn:shaving:5000", 4_999)
    assert ranges(edits.move_end(there, "urn:core:0", 4_000))[0] == ("core", 0, 4_000)


def test_overlaps_that_a_table_brought_can_be_made_smaller() -> None:
    there = case(tag("core", 0, 5_000), tag("shaving", 3_000, 9_000))
    assert ranges(edits.move_end(there, "urn:core:0", 4_000))[0] == ("core", 0, 4_000)
    assert ranges(edits.move_end(there, "urn:core:0", 3_000))[0] == ("core", 0, 3_000)


def test_a_tag_does_not_become_one_that_has_no_room() -> None:
    there = case(tag("core", 0, 5_000), tag("bimanual", 3_000, 9_000))
    with pytest.raises(InvalidEdit, match="Shaving would run into Core"):
        edits.retag(there, "urn:bimanual:3000", f"{BASE}#shaving")
    with pytest.raises(InvalidEdit, match="is not in the vocabulary drawn"):
        edits.retag(there, "urn:bimanual:3000", f"{BASE}#elsewhere")
    assert ranges(edits.retag(there, "urn:core:0", f"{BASE}#shaving"))[0] == ("shaving", 0, 5_000)


def test_a_tag_is_cut_in_two() -> None:
    there = case(tag("core", 0, None, note="why", performer="trainee"))
    edited = edits.split(there, "urn:core:0", 4_000, "urn:new")
    assert ranges(edited) == [("core", 0, 4_000), ("core", 4_000, None)]
    assert [(one.id, one.note, one.performer) for one in edited.case.tags] == [
        ("urn:core:0", "why", "trainee"),
        ("urn:new", "why", "trainee"),
    ]
    for outside in (0, -1):
        with pytest.raises(InvalidEdit, match="is not running at"):
            edits.split(there, "urn:core:0", max(outside, 0), "urn:new")


def test_two_tags_of_a_step_are_joined_over_the_gap() -> None:
    there = case(
        tag("core", 0, 2_000, note="one", strength="20 %", place=frozenset({Field(1, "posterior")})),
        tag("core", 3_000, 5_000, note="two", strength="14 %", place=frozenset({Field(2, "posterior")})),
    )
    edited = edits.join(there, "urn:core:3000", "urn:core:0")
    assert ranges(edited) == [("core", 0, 5_000)]
    assert edited.case.tags[0].id == "urn:core:0"
    assert edited.case.tags[0].note == "one\ntwo"
    assert edited.case.tags[0].strength == "20 %; 14 %"
    assert edited.case.tags[0].place == {Field(1, "posterior"), Field(2, "posterior")}


def test_different_steps_and_steps_with_another_between_are_not_joined() -> None:
    there = case(tag("core", 0, 2_000), tag("shaving", 2_000, 3_000), tag("core", 3_000, 5_000))
    with pytest.raises(InvalidEdit, match="different steps"):
        edits.join(there, "urn:core:0", "urn:shaving:2000")
    with pytest.raises(InvalidEdit, match="would run into Shaving"):
        edits.join(there, "urn:core:0", "urn:core:3000")


def test_what_is_said_of_tags_is_changed_and_nothing_else() -> None:
    there = case(tag("core", 0, 2_000), tag("shaving", 2_000, 3_000))
    edited = edits.describe(there, there.by_id, performer="teacher", confirmed=False)
    assert {(one.performer, one.confirmed) for one in edited.case.tags} == {("teacher", False)}
    assert edited.says == "2 tags: performer changed, confirmed changed"
    with pytest.raises(InvalidEdit, match="a tag's start is not changed this way"):
        edits.describe(there, there.by_id, start=5)


def test_tags_are_removed_by_name() -> None:
    there = case(tag("core", 0, 2_000), tag("shaving", 2_000, 3_000))
    assert ranges(edits.remove(there, ["urn:core:0"])) == [("shaving", 2_000, 3_000)]
    assert edits.remove(there, there.by_id).says == "2 tags removed"
    with pytest.raises(UnknownName):
        edits.remove(there, ["urn:core:0", "urn:core:1"])


def test_the_case_itself_is_changed() -> None:
    there = case(tag("core", 0, 2_000))
    assert edits.rename(there, "Other").case.title == "Other"
    moved = edits.relocate(there, 0, "elsewhere.mp4", "sha256:1").case
    assert (moved.recordings[0].path, moved.recordings[0].fingerprint, moved.tags) == (
        "elsewhere.mp4",
        "sha256:1",
        there.tags,
    )
    newer = replace(VOCABULARY, version="2")
    carried = edits.replace_vocabulary(there, newer, [tag("shaving", 0, 1_000)])
    assert carried.case.vocabulary.version == "2"
    assert ranges(carried) == [("shaving", 0, 1_000)]


def test_which_eye_it_is() -> None:
    there = case(tag("core", 0, 2_000, place=frozenset({Field(3, "posterior")})))
    edited = edits.set_eye(there, Eye.LEFT)
    assert (edited.case.eye, edited.says) == (Eye.LEFT, "This is a left eye")
    assert edited.case.tags == there.tags, "clock hours are the same for either eye"
    mirrored = edits.set_eye(edited.case, Eye.RIGHT, mirrored=True)
    assert mirrored.case.tags[0].place == {Field(9, "posterior")}
    assert mirrored.says == "This is a right eye, and its places are mirrored"
    assert edits.set_eye(edited.case, None) == (there, "The eye is not specified")


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda one: edits.begin(one, tag("bimanual", 3_000)), "Bimanual begins at 00:00:03.000"),
        (lambda one: edits.begin(one, tag("removal", 0)), "Core becomes Removal"),
        (lambda one: edits.mark(one, tag("bleeding", 3_000)), "Bleeding at 00:00:03.000"),
        (lambda one: edits.add(one, [tag("removal", 5_000, 6_000)]), "Removal added"),
        (lambda one: edits.add(one, [tag("removal", 5_000, 6_000), tag("core", 6_000, 7_000)]), "2 tags added"),
        (lambda one: edits.remove(one, ["urn:core:0"]), "Core at 00:00:00.000 removed"),
        (lambda one: edits.retag(one, "urn:core:0", f"{BASE}#removal"), "Core becomes Removal"),
        (lambda one: edits.describe(one, ["urn:core:0"], note="x"), "Core: note changed"),
        (lambda one: edits.move_start(one, "urn:core:0", 1_000), "Core starts at 00:00:01.000"),
        (lambda one: edits.move_end(one, "urn:core:0", 1_000), "Core ends at 00:00:01.000"),
        (
            lambda one: edits.move_boundary(one, "urn:core:0", "end", 1_500),
            "Core ends at 00:00:01.500, beside Shaving",
        ),
        (
            lambda one: edits.move_boundary(one, "urn:shaving:2000", "start", 1_500),
            "Shaving starts at 00:00:01.500, beside Core",
        ),
        (lambda one: edits.move(one, "urn:core:0", 500, 1_000), "Core moved to 00:00:00.500"),
        (lambda one: edits.split(one, "urn:core:0", 1_000, "urn:x"), "Core split at 00:00:01.000"),
        (lambda one: edits.rename(one, "Eye"), "The case is called “Eye”"),
        (lambda one: edits.set_eye(one, None), "The eye is not specified"),
        (lambda one: edits.set_picture(one, 0, View.TURNED), "The picture of the recording is as the surgeon sits"),
        (lambda one: edits.set_picture(one, 0, None), "How the picture of the recording stands is not said"),
        (lambda one: edits.replace_vocabulary(one, VOCABULARY, one.tags), "The case uses drawn 1"),
        (lambda one: edits.relocate(one, 0, "films/b.mp4", ""), "recording 1 is now films/b.mp4"),
    ],
)
def test_each_edit_says_what_it_does(edit: edits.Edit, says: str) -> None:
    """What the foot of the window shows, and what is undone."""
    there = case(tag("core", 0, 2_000), tag("shaving", 2_000, 3_000))
    assert edit(there).says == says


def test_an_unknown_term_is_called_as_it_stands() -> None:
    elsewhere = replace(tag("core", 0, 2_000), concept="https://elsewhere.example/terms#other")
    assert edits.remove(case(elsewhere), [elsewhere.id]).says.startswith("https://elsewhere.example/terms#other at ")
