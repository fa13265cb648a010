"""Recordings in another order, more of them or fewer: what each frame was tagged with stays on that frame."""

from collections import Counter
from collections.abc import Iterator
from itertools import count
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidEdit
from annotator.model.arrangement import arrange, tags_lost
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.tag_list import in_order
from tests.strategies import BASE, VOCABULARY

Frame = tuple[str, int]
"""A recording's id and ms from its zero."""


def ids(prefix: str = "new") -> Iterator[str]:
    return (f"urn:{prefix}:{number}" for number in count())


def recording(name: str, duration: int) -> Recording:
    return Recording(f"urn:{name}", f"videos/{name}.mp4", f"print-{name}", duration)


def case_of(lengths: dict[str, int], *tags: Tag) -> Case:
    return Case("urn:case", "", VOCABULARY, tuple(recording(*one) for one in lengths.items()), in_order(tags))


def tag(name: str, start: int, end: int | None, notation: str = "core") -> Tag:
    return Tag(f"urn:{name}", f"{BASE}#{notation}", start, end, note=name)


def rows(case: Case) -> list[tuple[str, int, int | None]]:
    return [(one.note, one.start, one.end) for one in case.tags]


def tagged(case: Case) -> Counter[tuple[str, Frame]]:
    """Each note with each frame that a tag with it covers, or stands on, counted ms by ms."""
    found: Counter[tuple[str, Frame]] = Counter()
    for one in case.tags:
        until = case.duration if one.end is None else max(one.end, one.start + 1)
        for at in range(one.start, until):
            spot = case.spot(at)
            found[one.note, (case.recordings[spot.recording].id, spot.at)] += 1
    return found


@st.composite
def tagged_cases(draw: st.DrawFn) -> Case:
    """Short recordings, none of them empty, with tags that lie within the case."""
    lengths = draw(st.lists(st.integers(1, 6), min_size=1, max_size=4))
    whole = sum(lengths)
    found = []
    for number in range(draw(st.integers(0, 5))):
        start = draw(st.integers(0, whole - 1))
        end = draw(st.none() | st.integers(start, whole))
        found.append(tag(str(number), start, end, "bleeding" if end == start else "bimanual"))
    return case_of({f"r{number}": length for number, length in enumerate(lengths)}, *found)


@given(tagged_cases(), st.randoms(use_true_random=False))
def test_another_order_leaves_each_frame_tagged_as_it_was(case: Case, random: Random) -> None:
    order = random.sample(case.recordings, len(case.recordings))
    after = arrange(case, order, ids()).case
    assert tagged(after) == tagged(case)
    assert [one.id for one in after.recordings] == [one.id for one in order]
    assert after.tags == in_order(after.tags)
    assert len({one.id for one in after.tags}) == len(after.tags)
    assert case.by_id.keys() <= after.by_id.keys()
    back = arrange(after, case.recordings, ids("back")).case
    assert tagged(back) == tagged(case)


@given(tagged_cases(), st.randoms(use_true_random=False))
def test_what_is_left_out_takes_only_its_own_tags_along(case: Case, random: Random) -> None:
    kept = random.sample(case.recordings, random.randint(1, len(case.recordings)))
    names = {one.id for one in kept}
    after = arrange(case, kept, ids()).case
    assert tagged(after) == Counter({key: n for key, n in tagged(case).items() if key[1][0] in names})
    lost = {one.note for one in tags_lost(case, kept)}
    assert lost == {note for note, (name, _) in tagged(case) if name not in names}


@given(tagged_cases(), st.integers(0, 4))
def test_a_new_recording_takes_no_tag_from_the_others(case: Case, place: int) -> None:
    recordings = [*case.recordings[:place], recording("added", 5), *case.recordings[place:]]
    after = arrange(case, recordings, ids()).case
    old = {one.id for one in case.recordings}
    assert Counter({key: n for key, n in tagged(after).items() if key[1][0] in old}) == tagged(case)


@given(tagged_cases())
def test_the_same_recordings_change_nothing(case: Case) -> None:
    assert arrange(case, case.recordings, ids()).case == case


def test_a_tag_over_a_border_is_parted_and_comes_together_again() -> None:
    case = case_of({"a": 10, "b": 10, "c": 10}, tag("over", 5, 15))
    a, b, c = case.recordings
    apart = arrange(case, [b, c, a], ids()).case
    assert rows(apart) == [("over", 0, 5), ("over", 25, 30)]
    assert {one.id for one in apart.tags} == {"urn:over", "urn:new:0"}
    assert rows(arrange(case, [c, a, b], ids()).case) == [("over", 15, 25)]


def test_a_running_tag_runs_on_into_new_recordings_and_into_no_other() -> None:
    case = case_of({"a": 10, "b": 10}, tag("runs", 15, None))
    a, b = case.recordings
    assert rows(arrange(case, [a, b, recording("c", 10)], ids()).case) == [("runs", 15, None)]
    assert rows(arrange(case, [b, a], ids()).case) == [("runs", 5, 10)]
    assert rows(arrange(case, [recording("c", 10), a, b], ids()).case) == [("runs", 25, None)]


def test_a_mark_on_the_very_end_stays_with_its_recording() -> None:
    case = case_of({"a": 10, "b": 10}, tag("end", 20, 20, "bleeding"))
    a, b = case.recordings
    after = arrange(case, [b, a], ids()).case
    assert after.spot(after.tags[0].start).recording == 0


def test_what_is_done_is_said() -> None:
    case = case_of({"a": 10, "b": 10, "c": 10}, tag("there", 12, 14), tag("stays", 2, 3))
    a, b, c = case.recordings
    assert arrange(case, [c, a, recording("d", 5)], ids()).says == (
        "d.mp4 added; b.mp4 removed with 1 tag; the recordings are reordered"
    )
    assert arrange(case, [a, b, c], ids()).says == "the recordings are unchanged"


@pytest.mark.parametrize("end", [None, 40])
def test_what_lies_past_the_end_is_not_put_on_another_recording(end: int | None) -> None:
    case = case_of({"a": 10, "b": 10}, tag("late", 30, end))
    a, b = case.recordings
    with pytest.raises(InvalidEdit, match="past the end of its recording"):
        arrange(case, [b, a], ids())
    assert rows(arrange(case, [recording("c", 5), a, b], ids()).case) == [("late", 35, end and end + 5)]
    assert rows(arrange(case, [a], ids()).case) == []


def test_no_recording_at_all_and_the_same_twice_are_refused() -> None:
    case = case_of({"a": 10, "b": 10})
    with pytest.raises(InvalidEdit, match="needs a recording"):
        arrange(case, [], ids())
    with pytest.raises(InvalidEdit, match="twice"):
        arrange(case, [*case.recordings, case.recordings[0]], ids())
