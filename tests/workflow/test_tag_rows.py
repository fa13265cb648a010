"""Rows of text become tags, or sentences that say which row and what is wrong with it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.errors import MOST_FAULTS, Cancelled
from annotator.formats.faults import LONGEST_TEXT
from annotator.formats.tables.tags_csv import TagRow, dumps, loads
from annotator.media.index.frame_index import FrameIndex
from annotator.model.case import Case, Certainty, Tag
from annotator.model.place import Field
from annotator.model.vocabulary import Facet
from annotator.workflow.frames import CaseFrames
from annotator.workflow.tag_rows import Read, read_rows, rows_of, to_confirm
from tests.strategies import cases
from tests.vocabulary.drawn_by_hand import IRI, case, concept, vocabulary

CASE = case(
    vocabulary(
        concept("core", label="Core vitrectomy"), concept("peel", facet="technique"), concept("bleeding", facet="event")
    ),
    [],
)
"""One minute."""

FRAMES = CaseFrames(CASE, {0: FrameIndex(np.arange(0, 60_000, 40), 60_000)})
NO_FRAMES = CaseFrames(CASE, {})
TWO_FRAMES = CaseFrames(CASE, {0: FrameIndex(np.array([0, 20, 50_000, 50_020]), 60_000)})


def row(start: str = "1", end: str = "2", step: str = "core", **more: str) -> TagRow:
    return TagRow("row 2", start, end, step, **more)


def read(*rows: TagRow, frames: CaseFrames = NO_FRAMES) -> Read:
    return read_rows(rows, CASE, frames)


def tag_of(one: TagRow, frames: CaseFrames = NO_FRAMES) -> Tag:
    found = read(one, frames=frames)
    assert (found.faults.said, len(found.tags)) == ([], 1)
    return found.tags[0]


def faults_of(one: TagRow, frames: CaseFrames = NO_FRAMES) -> list[str]:
    found = read(one, frames=frames)
    assert found.tags == ()
    return found.faults.said


def test_every_cell_has_its_place_in_the_tag() -> None:
    given_row = row(
        "0:01.000", "0:05", "CORE  Vitrectomy", performer="Trainee", place="4 posterior", certainty="PROBABLE", note="x"
    )
    tag = tag_of(given_row)
    assert (tag.concept, tag.start, tag.end) == (f"{IRI}#core", 1_000, 5_000)
    assert (tag.performer, tag.certainty) == ("trainee", Certainty.PROBABLE)
    assert (tag.place, tag.note, tag.confirmed) == (frozenset([Field(4, "posterior")]), "x", True)


def test_empty_cells_say_nothing_and_every_tag_has_an_id_of_its_own() -> None:
    first, second = read(row(), row()).tags
    assert (first.performer, first.place, first.certainty, first.note) == (
        None,
        frozenset(),
        Certainty.CERTAIN,
        "",
    )
    assert first.id != second.id


@pytest.mark.parametrize("end", ["running", "Running", "RUNNING"])
def test_a_tag_may_still_run(end: str) -> None:
    assert tag_of(row(end=end)).end is None


@pytest.mark.parametrize("end", ["", "1", "1.000", "0:01"])
def test_an_event_without_an_end_or_with_that_of_its_start_is_a_moment(end: str) -> None:
    tag = tag_of(row("1", end, "bleeding"))
    assert (tag.start, tag.end) == (1_000, 1_000)


def test_an_event_may_last_and_run_too() -> None:
    assert tag_of(row("1", "3", "bleeding")).end == 3_000
    assert tag_of(row("1", "running", "bleeding")).end is None


@pytest.mark.parametrize(
    ("performer", "meant"),
    [
        ("teacher", "teacher"),
        ("Trainee  Under\nGuidance", "trainee under guidance"),
        (" TRAINEE ", "trainee"),
        ("", None),
    ],
)
def test_a_role_is_read_in_any_letter_case_with_any_blanks(performer: str, meant: str | None) -> None:
    assert tag_of(row(performer=performer)).performer == meant


GASES = case(
    vocabulary(concept("sf6", "material", label="SF6"), facets=(Facet("material", {"en": "Material"}),)),
    [],
)


@pytest.mark.parametrize(
    ("step", "strength", "meant"),
    [
        ("SF6 20 %", "", "20 %"),
        ("20% SF6", "", "20 %"),
        ("SF6", "20 %", "20 %"),
        ("SF6 20 %", "20%", "20%"),
        ("SF6 0,5 percent", "", "0.5 %"),
    ],
)
def test_a_material_is_written_with_its_strength(step: str, strength: str, meant: str) -> None:
    (tag,) = read_rows([row(step=step, strength=strength)], GASES, NO_FRAMES).tags
    assert (tag.strength, tag.confirmed, tag.words) == (meant, True, "")


def test_two_strengths_of_one_material_are_a_fault() -> None:
    found = read_rows([row(step="SF6 20 %", strength="14 %")], GASES, NO_FRAMES)
    assert found.faults.said == ["row 2: the step says 20 %, but the strength is “14 %”; leave one of them out"]


@pytest.mark.parametrize("step", ["vitrectomy, core", "Core-vitrectomies", "core_vitrectomy"])
def test_a_name_written_in_another_way_is_taken_for_sure(step: str) -> None:
    tag = tag_of(row(step=step))
    assert (tag.concept, tag.confirmed, tag.words) == (f"{IRI}#core", True, "")


def test_words_near_to_a_name_give_a_tag_to_be_confirmed_that_keeps_them() -> None:
    found = read(row(step="Core vitrectmy"), row("3", "4", step="Core vitrectmy"))
    assert [(tag.concept, tag.confirmed, tag.words) for tag in found.tags] == [
        (f"{IRI}#core", False, "Core vitrectmy")
    ] * 2
    assert to_confirm(CASE, found.tags) == ("“Core vitrectmy” is taken as “Core vitrectomy”, to be confirmed",)
    assert found.faults.count == 0


@pytest.mark.parametrize(("confirmed", "is_confirmed"), [("", True), ("yes", True), ("No", False)])
def test_a_row_may_say_what_a_tag_was_written_as_and_that_nobody_has_confirmed_it(
    confirmed: str, is_confirmed: bool
) -> None:
    tag = tag_of(row(confirmed=confirmed, words="corre"))
    assert (tag.concept, tag.confirmed, tag.words) == (f"{IRI}#core", is_confirmed, "corre")


def test_what_is_only_near_is_to_be_confirmed_whatever_the_row_says() -> None:
    tag = tag_of(row(step="Core vitrectmy", confirmed="yes", words="something else"))
    assert (tag.confirmed, tag.words) == (False, "Core vitrectmy")


def test_a_strength_that_no_material_has_is_kept_among_the_words() -> None:
    tag = tag_of(row(step="core 20 %"))
    assert (tag.concept, tag.confirmed, tag.words) == (f"{IRI}#core", False, "core 20 %")


def test_the_strength_of_a_material_has_a_column_of_its_own() -> None:
    tag = tag_of(row(strength="20 %"))
    assert tag.strength == "20 %"
    assert rows_of(CASE, [tag])[0].strength == "20 %"
    assert read(row(strength="x" * 201)).faults.said == ["row 2: the strength is longer than 200 characters"]


def test_words_that_mean_nothing_are_refused_in_each_row() -> None:
    assert read(row(step="stitching"), row(step="stitching")).faults.count == 2


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (row(step=""), "row 2: the cell “step” is empty"),
        (row(start=""), "row 2: the cell “start” is empty"),
        (row(end=""), "row 2: the cell “end” is empty"),
        (row(end="", step="peel"), "row 2: the cell “end” is empty"),
        (row(start="0:61"), "row 2: “0:61” is not a time: seconds run from 00 to 59"),
        (row(end="later"), "row 2: “later” is not a time"),
        (row(step="cor"), "row 2: There is no concept “cor”; did you mean “Core vitrectomy”?"),
        (row(performer="surgeon"), "row 2: There is no performer “surgeon”; available: “teacher”, “trainee”"),
        (
            row(certainty="sure"),
            "row 2: There is no certainty “sure”; available: “certain”, “probable” and “uncertain”",
        ),
        (
            row(confirmed="perhaps"),
            "row 2: There is no confirmation “perhaps”; available: “yes” and “no”",
        ),
        (row(words="x" * (LONGEST_TEXT + 1)), f"row 2: the cell “words” is longer than {LONGEST_TEXT:,} characters"),
        (row(place="13 posterior"), "row 2: “13 posterior” is not a place on the retina"),
        (row(note="x" * (LONGEST_TEXT + 1)), f"row 2: the note is longer than {LONGEST_TEXT:,} characters"),
        (row("2", "1"), "row 2: ends at 00:00:01.000, before it starts at 00:00:02.000"),
        (row("2", "1", "bleeding"), "row 2: ends at 00:00:01.000, before it starts at 00:00:02.000"),
        (row("2", "2"), "row 2: Core vitrectomy at 00:00:02.000 is shorter than a frame; only events can be moments"),
        (row(end="60.001"), "row 2: end 00:01:00.001 is after the end of the recording at 00:01:00.000"),
        (row("61", "running"), "row 2: start 00:01:01.000 is after the end of the recording at 00:01:00.000"),
    ],
)
def test_what_is_wrong_is_said_with_the_row(one: TagRow, says: str) -> None:
    (said,) = faults_of(one)
    assert said.startswith(says)


def test_all_that_is_wrong_with_a_row_is_said_at_once() -> None:
    wrong = row("x", "y", "z", performer="p", place="q", certainty="c", note="n" * (LONGEST_TEXT + 1))
    assert len(faults_of(wrong)) == 7


def test_a_row_that_is_wrong_in_any_way_gives_no_tag_and_the_others_do() -> None:
    found = read(row("1", "2"), row("3", "4", performer="surgeon"), row("5", "6"))
    assert [tag.start for tag in found.tags] == [1_000, 5_000]
    assert found.faults.count == 1


def test_the_longest_note_is_taken() -> None:
    assert len(tag_of(row(note="x" * LONGEST_TEXT)).note) == LONGEST_TEXT


def test_of_many_faults_the_first_are_put_into_words_and_the_others_counted() -> None:
    found = read(*(TagRow(f"row {number}", "1", "2", "cor") for number in range(MOST_FAULTS + 3)))
    assert (len(found.faults.said), found.faults.more, found.faults.count) == (MOST_FAULTS, 3, MOST_FAULTS + 3)
    assert found.faults.said[-1].startswith(f"row {MOST_FAULTS - 1}: ")


def test_times_are_put_on_frames_and_a_way_of_up_to_a_frame_is_not_worth_a_word() -> None:
    found = read(row("1.019", "2.021"), frames=FRAMES)
    assert [(tag.start, tag.end) for tag in found.tags] == [(1_000, 2_040)]
    assert found.moved == ()


def test_a_longer_way_is_told() -> None:
    """The frame at 50,000 ms stays for 20 ms; a time 100 ms before it was not meant for it, whoever wrote it."""
    found = read(row("0.010", "49.900"), frames=TWO_FRAMES)
    assert [(tag.start, tag.end) for tag in found.tags] == [(0, 50_000)]
    assert found.moved == ("row 2: end 00:00:49.900 moves to the frame at 00:00:50.000",)


def test_nothing_is_told_of_the_way_of_a_row_that_is_left_out() -> None:
    found = read(row("0.010", "49.900", performer="surgeon"), frames=TWO_FRAMES)
    assert (found.tags, found.moved) == ((), ())


@pytest.mark.parametrize(("end", "taken"), [("60.000", True), ("60.040", True), ("60.041", False)])
def test_a_time_after_the_end_by_no_more_than_the_last_frame_is_the_end(end: str, taken: bool) -> None:
    """Programs round the length of a recording in their own ways."""
    found = read(row(end=end), frames=FRAMES)
    assert [tag.end for tag in found.tags] == [60_000] * taken
    assert found.faults.count == (not taken)


def test_a_range_within_one_frame_is_none() -> None:
    (said,) = faults_of(row("1.001", "1.019"), FRAMES)
    assert "is shorter than a frame" in said


def test_the_rows_that_are_read_are_counted() -> None:
    told: list[tuple[float, float]] = []
    rows = [row() for _ in range(3_000)]
    assert len(read_rows(rows, CASE, NO_FRAMES, lambda done, total: told.append((done, total))).tags) == 3_000
    assert [done for done, _ in told] == sorted({done for done, _ in told})
    assert len(told) > 3
    assert {total for _, total in told} == {3_000}


def test_reading_rows_can_be_stopped() -> None:
    def stop(done: float, _total: float) -> None:
        if done:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        read_rows([row() for _ in range(3_000)], CASE, NO_FRAMES, stop)


def said_by_row(tag: Tag) -> Tag:
    """A tag without what a row has no column for."""
    return replace(tag, id="", author="", created="", modified="", extra={})


def may_stand_in_a_row(drawn: Case, tag: Tag) -> bool:
    facet = drawn.facet_of(tag)
    end = tag.start if tag.end is None else tag.end
    return facet is not None and end <= drawn.duration and (facet.moments or tag.end != tag.start)


@given(cases())
def test_the_rows_of_any_case_give_its_tags_again(drawn: Case) -> None:
    sound = replace(drawn, tags=tuple(tag for tag in drawn.tags if may_stand_in_a_row(drawn, tag)))
    again = read_rows(rows_of(sound), sound, CaseFrames(sound, {}))
    assert again.faults.said == []
    assert [said_by_row(tag) for tag in again.tags] == [said_by_row(tag) for tag in sound.tags]


@given(cases())
def test_the_table_of_any_case_gives_its_tags_again_but_for_what_no_cell_can_hold(drawn: Case) -> None:
    """Control characters and blanks at the ends of a text are not kept by a table."""

    def tidied(text: str) -> str:
        return f"“{' '.join(filter(str.isprintable, text.split()))}”"

    tidy = [
        replace(tag, note=tidied(tag.note), strength=tidied(tag.strength), words=tidied(tag.words))
        for tag in drawn.tags
    ]
    sound = replace(drawn, tags=tuple(tag for tag in tidy if may_stand_in_a_row(drawn, tag)))
    again = read_rows(loads(dumps(rows_of(sound))), sound, CaseFrames(sound, {}))
    assert again.faults.said == []
    assert [said_by_row(tag) for tag in again.tags] == [said_by_row(tag) for tag in sound.tags]


def test_a_term_that_the_vocabulary_does_not_know_is_written_as_it_stands() -> None:
    elsewhere = "https://elsewhere.example/terms#other"
    (written,) = rows_of(case(CASE.vocabulary, [(elsewhere, 1_000, None)]))
    assert (written.step, written.start, written.end) == (elsewhere, "00:00:01.000", "running")


@given(st.lists(st.builds(TagRow, st.just("row 9"), *[st.text(max_size=12)] * 3, *[st.text(max_size=12)] * 7)))
def test_any_text_gives_a_tag_or_a_sentence(rows: list[TagRow]) -> None:
    found = read(*rows, frames=FRAMES)
    assert len(found.tags) + found.faults.count >= len(rows)
    assert all(says.startswith("row 9: ") for says in found.faults.said)
