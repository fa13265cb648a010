"""What is found in a library, by what it is, where, by whom, in which words, and how it lies to other tags."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.errors import InvalidEdit, UnknownName
from annotator.library.ask import ask
from annotator.library.library import opened
from annotator.library.search import Question, find, left_out
from annotator.measure.counted import by_concept, count
from annotator.measure.over_cases.relations import Relation
from annotator.model.facts import Fact
from annotator.model.place import Eye, parse_place
from annotator.model.recording import Altered
from tests.library.cases import at, put, with_note
from tests.measure.cases import CONCEPTS, case, tag, vocabulary


@pytest.fixture
def library_folder(folder: Path) -> Path:
    """In a the bleeding lies in the core vitrectomy, in b behind it; in c there is none, and d is untagged."""
    core, shave = tag("core", 10_000, 20_000), tag("shave", 30_000, 40_000, performer="trainee")
    put(folder, "a", core, shave, with_note(tag("bleeding", 12_000, 12_000), "from the edge"), eye=Eye.RIGHT)
    put(folder, "b", core, tag("bleeding", 18_000, 25_000), at(tag("bimanual", 32_000, 35_000), macula), eye=Eye.LEFT)
    put(folder, "c", at(shave, parse_place("3 posterior")), tag("bimanual", 31_000, 33_000))
    put(folder, "d")
    return folder


macula = parse_place("macula")


def found(folder: Path, question: Question) -> list[tuple[str, int]]:
    with opened(folder) as library:
        return [(one.case.name[0], one.time[0]) for one in find(library, question)]


@pytest.mark.parametrize(
    ("question", "expected"),
    [
        (Question("Bleeding"), [("a", 12_000), ("b", 18_000)]),
        (Question("vitrectomy"), [("a", 10_000), ("a", 30_000), ("b", 10_000), ("c", 30_000)]),
        (Question("bleeding", [(Relation.WITHIN, "core")]), [("a", 12_000)]),
        (Question("bleeding", [(Relation.DURING, "core")]), [("a", 12_000), ("b", 18_000)]),
        (Question("bimanual", [(Relation.AFTER, "bleeding")]), [("b", 32_000)]),
        (Question("bimanual", [(Relation.WITHIN, "shave")]), [("c", 31_000)]),
        (Question(relations=[(Relation.DURING, "bleeding")]), [("b", 10_000), ("b", 18_000)]),
        (Question(words="EDGE fro"), [("a", 12_000)]),
        (Question(words='"'), []),
        (Question(words="edge NOT from *"), []),
        (Question(performer="Trainee"), [("a", 30_000), ("c", 30_000)]),
        (Question(place="macula"), [("b", 32_000)]),
        (Question(place="posterior"), [("c", 30_000)]),
        (Question("bleeding", among=[("eye", "left")]), [("b", 18_000)]),
        (Question("bleeding", among=[("eye", "left"), ("Eye", "Right")]), [("a", 12_000), ("b", 18_000)]),
    ],
)
def test_what_is_found(library_folder: Path, question: Question, expected: list[tuple[str, int]]) -> None:
    assert found(library_folder, question) == expected


def test_a_quadrant_is_that_of_each_eye(folder: Path) -> None:
    nasal = parse_place("nasal", Eye.RIGHT)
    put(folder, "a", at(tag("core", 0, 1_000), nasal), eye=Eye.RIGHT)
    put(folder, "b", at(tag("core", 0, 1_000), nasal), eye=Eye.LEFT)
    put(folder, "c", at(tag("core", 0, 1_000), nasal))
    assert found(folder, Question(place="nasal")) == [("a", 0)]
    assert found(folder, Question(place="temporal")) == [("b", 0)]
    with opened(folder) as library:
        assert left_out(library, Question(place="nasal")).startswith("1 case does not say which eye it is")
        assert left_out(library, Question(place="superior")) == ""
        assert left_out(library, Question("core")) == ""


@pytest.mark.parametrize(
    ("question", "error", "says"),
    [
        (Question("bleedin"), UnknownName, "Bleeding"),
        (Question("core", [(Relation.WITHIN, "bleedin")]), UnknownName, "Bleeding"),
        (Question("core", performer="nobody"), UnknownName, "performer"),
        (Question("core", place="nowhere"), InvalidEdit, "place"),
        (Question("core", among=[("ey", "left")]), UnknownName, "eye"),
        (Question("core", among=[("month", "1.2.2026")]), InvalidEdit, "month"),
        (Question("core", among=[("eye", "lft")]), UnknownName, "left"),
    ],
)
def test_what_is_no_name_is_refused_with_the_nearest(
    library_folder: Path, question: Question, error: type[Exception], says: str
) -> None:
    with opened(library_folder) as library, pytest.raises(error, match=says):
        find(library, question)


def test_facts_are_asked_for_by_their_names_and_say_which_case_was_last(folder: Path) -> None:
    core = tag("core", 0, 1_000)
    put(folder, "a", core, facts=(Fact("case-number", "9"), Fact("finding", "macular-hole")))
    put(folder, "b", core, facts=(Fact("case-number", "10"), Fact("finding", "macular-hole")))
    put(folder, "c", core, facts=(Fact("case-number", "2"), Fact("finding", "cataract"), Fact("of-ours", "Yes")))
    assert found(folder, Question(among=[("diagnosis", "FTMH")])) == [("a", 0), ("b", 0)]
    assert found(folder, Question("core", among=[("finding", "RD")])) == []
    assert found(folder, Question("core", among=[("of-ours", "yes")])) == [("c", 0)]
    with opened(folder) as library:
        told = ask(library, Question("core")).answer
    assert [one.case[0] for one in told.moments] == ["c", "a", "b"]
    assert told.last is not None
    assert told.last.case[0] == "b"


def test_a_case_without_consent_is_found_but_does_not_count(folder: Path) -> None:
    core = tag("core", 0, 1_000)
    put(folder, "a", core)
    put(folder, "b", core, facts=(Fact("consent", "consent-withdrawn"),))
    with opened(folder) as library:
        told = ask(library, Question("core"))
        assert len(find(library, Question("core"))) == 2
    assert (told.answer.share.cases, told.answer.share.of) == (1, 1)
    assert told.notes == ("1 case left out: consent is withdrawn or not given",)


def test_times_of_a_film_that_was_cut_are_said_to_be_the_films(folder: Path) -> None:
    core = tag("core", 0, 1_000)
    (whole,) = case().recordings
    cut = (replace(whole, altered=(Altered.CUT,)),)
    put(folder, "a", core)
    put(folder, "b", core, recordings=cut)
    put(folder, "c", tag("lift", 0, 1_000), recordings=cut)
    with opened(folder) as library:
        core_notes, ports_notes = ask(library, Question("core")).notes, ask(library, Question("ports")).notes
    assert core_notes == (
        "1 case with a recording that was cut, slowed down or sped up: its times are those of the film, "
        "not of the operation",
    )
    assert ports_notes == (), "no time is given that could mislead"


def test_each_case_is_asked_in_its_own_vocabulary(folder: Path) -> None:
    """The same name, another concept: an older case that calls it otherwise is no case in which it was not done."""
    put(folder, "a", tag("lift", 0, 1_000))
    ours = vocabulary()
    renamed = replace(ours, concepts=tuple(one for one in ours.concepts if one.notation != "lift"), version="0")
    put(folder, "b", tag("shave", 0, 1_000), vocabulary=renamed)
    with opened(folder) as library:
        told = ask(library, Question("lift"))
        assert (told.answer.share.cases, told.answer.share.of) == (1, 2)
        assert any("does not have Lift and shave" in note for note in told.notes)
        assert ask(library, Question("lift"), "possible").answer.share.of == 1


def test_the_denominator_is_all_cases_or_those_in_which_it_could_arise(library_folder: Path) -> None:
    question = Question("bleeding", [(Relation.DURING, "core")])
    with opened(library_folder) as library:
        every, possible = ask(library, question), ask(library, question, "possible")
    assert (every.answer.share.cases, every.answer.share.of) == (2, 4)
    assert (possible.answer.share.cases, possible.answer.share.of) == (2, 2)
    assert "2 cases of the 4" in every.notes[0]


def test_during_another_thing_only_the_time_in_it_counts(library_folder: Path) -> None:
    with opened(library_folder) as library:
        told = ask(library, Question("bleeding", [(Relation.DURING, "core")]))
    assert [(one.start, one.end) for one in told.answer.moments] == [(12_000, 12_000), (18_000, 20_000)]
    assert told.answer.times.times == (2_000,)


def test_every_concept_counts_as_it_does_in_the_durations_of_the_case(folder: Path) -> None:
    """Also a step of any phase, which counts for the phase in which it lies, and tags at and beyond the case's ends."""
    ours = vocabulary()
    free = tuple(replace(one, any_phase=one.notation == "infusion") for one in ours.concepts)
    tags = [
        tag("infusion", 500, 900),
        tag("core", 1_000, 5_000),
        tag("infusion", 2_000, 3_000),
        tag("infusion", 6_000, 7_000),
        tag("removal", 8_000, None),
        tag("bleeding", 100_000, 100_000),
        tag("lift", 120_000, 130_000),
        tag("closure", 90_000, 120_000),
    ]
    made = replace(case(*tags), vocabulary=replace(ours, concepts=free))
    put(folder, "a", *made.tags, vocabulary=made.vocabulary)
    with opened(folder) as library:
        for notation, facet, _, _ in CONCEPTS:
            counted = {one.notation: one.visits for one in by_concept(made, count(made, facet, "en")[0], "en")}
            asked = [(one.start, one.end) for one in ask(library, Question(notation)).answer.moments]
            assert asked == list(counted.get(notation, [])), notation
