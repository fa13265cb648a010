"""Which concepts a tag counts for: its own and those above it, of the facet that is asked for."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from annotator.measure.rollup import (
    Left,
    Range,
    is_free,
    lineages,
    runs,
    runs_so_far,
    settled,
    settled_lines,
    settled_parts,
    tagged_over,
)
from annotator.model import tag_list
from annotator.model.case import Tag, with_tags
from tests.vocabulary.drawn_by_hand import IRI, case, concept, vocabulary

WORDS = vocabulary(
    concept("vitrectomy", facet="phase"),
    concept("core", broader="vitrectomy"),
    concept("trim", broader="core"),
    concept("bimanual", facet="technique"),
    concept("round", broader="about"),
    concept("about", broader="round"),
)


def of(*terms: str, facet: str) -> dict[str, list[str]]:
    tags = [Tag(f"urn:t:{term}", term if ":" in term else f"{IRI}#{term}", 0, 1) for term in terms]
    found = lineages(WORDS, tags, facet)
    return {iri.rpartition("#")[2]: [one.notation for one in line] for iri, line in found.items()}


def test_a_step_counts_for_itself_and_the_steps_above_it_the_nearest_first() -> None:
    assert of("trim", "core", facet="step") == {"trim": ["trim", "core"], "core": ["core"]}


def test_a_step_counts_for_its_phase_and_no_phase_for_its_steps() -> None:
    assert of("trim", "vitrectomy", facet="phase") == {"trim": ["vitrectomy"], "vitrectomy": ["vitrectomy"]}
    assert of("vitrectomy", facet="step") == {}


def test_what_has_nothing_of_the_facet_or_is_not_known_counts_for_nothing() -> None:
    assert of("bimanual", "https://elsewhere.example/x#core", facet="step") == {}


def test_only_the_terms_of_the_tags_are_there_each_once() -> None:
    assert of("core", "core", facet="step") == {"core": ["core"]}
    assert of(facet="step") == {}


def test_a_ring_of_concepts_ends() -> None:
    assert of("round", facet="step") == {"round": ["round", "about"]}


def test_ranges_of_one_phase_that_follow_each_other_are_one_run() -> None:
    access, vitrectomy = concept("access", facet="phase"), WORDS.by_notation["vitrectomy"]
    ranges = [Range(0, 5, access), Range(5, 9, access), Range(9, 12, vitrectomy), Range(20, 30, access)]
    assert runs(ranges) == [(0, 9, access), (9, 12, vitrectomy), (20, 30, access)]


def test_what_has_no_phase_ends_a_run_and_what_reaches_further_lasts() -> None:
    access = concept("access", facet="phase")
    assert runs([Range(0, 5, access), Range(5, 6, None), Range(6, 9, access)]) == [(0, 5, access), (6, 9, access)]
    assert runs([Range(0, 9, access), Range(2, 5, access)]) == [(0, 9, access)]
    assert runs([]) == []


def test_a_concept_counts_for_itself_and_for_what_is_broader() -> None:
    core, vitrectomy = WORDS.by_notation["core"], WORDS.by_notation["vitrectomy"]
    assert WORDS.lineage(core, "phase") == (vitrectomy,)
    assert WORDS.lineage(core, "step") == (core,)
    assert WORDS.lineage(core, "event") == ()


# --- steps that may fall in any phase --------------------------------------------------------------------------

MEMBRANES, FLAT, CLOSURE = (concept(name, facet="phase") for name in ("membranes", "flat", "closure"))
FREE = vocabulary(
    MEMBRANES,
    concept("peel", broader="membranes"),
    FLAT,
    concept("haemostasis", broader="flat", any_phase=True),
    concept("diathermy", broader="haemostasis"),
    concept("drain", broader="flat"),
    CLOSURE,
    concept("band", broader="closure", any_phase=True),
    concept("ports-out", broader="closure"),
)


def phases(*tags: tuple[str, int, int | None]) -> list[str]:
    """The phase of each tag that counts for the one in which it lies, in order of time."""
    there = case(FREE, tags)
    lines = settled_lines(there, "phase")
    return [lines[tag.id][0].notation for tag in there.tags if tag.id in lines]


def test_what_may_fall_in_any_phase_counts_for_that_of_the_steps_around_it() -> None:
    assert phases(("peel", 0, 9), ("haemostasis", 9, 12), ("peel", 12, 20)) == ["membranes"]
    assert phases(("band", 0, 9), ("peel", 9, 12)) == ["membranes"], "nothing before it"
    assert phases(("peel", 0, 9), ("diathermy", 20, 30)) == ["membranes"], "nothing after it, and it is narrower"


def test_between_two_phases_it_counts_for_its_own_if_that_is_one_of_them_else_for_the_first() -> None:
    assert phases(("peel", 0, 9), ("haemostasis", 9, 12), ("drain", 12, 20)) == ["flat"]
    assert phases(("peel", 0, 9), ("haemostasis", 9, 12), ("ports-out", 12, 20)) == ["membranes"]
    assert phases(("drain", 0, 9), ("haemostasis", 9, 12), ("ports-out", 12, 20)) == ["flat"]


def test_a_phase_that_is_tagged_over_it_counts_first() -> None:
    steps = [("peel", 0, 9), ("haemostasis", 9, 12), ("peel", 12, 20)]
    assert phases(("closure", 0, 20), *steps) == ["closure"]
    assert phases(("closure", 0, 10), ("flat", 10, 20), *steps) == ["flat"], "that with which it shares most"
    assert phases(("closure", 0, 9), *steps) == ["membranes"], "one that only touches is none over it"


def test_alone_it_counts_for_its_own_phase() -> None:
    assert phases(("band", 0, 9), ("haemostasis", 9, None)) == ["closure", "flat"]
    assert settled_lines(case(FREE, [("band", 0, 9)]), "step") == {}


def test_it_splits_no_phase_that_is_implied() -> None:
    ranges = [Range(0, 5, MEMBRANES), Range(5, 6, FLAT, is_free=True), Range(6, 9, MEMBRANES)]
    assert runs(ranges) == [(0, 9, MEMBRANES)]


@given(st.lists(st.tuples(st.sampled_from([MEMBRANES, FLAT, None]), st.booleans()), max_size=8), st.integers(0, 8))
def test_ranges_taken_piece_by_piece_give_the_same_runs(kinds: list[tuple[Any, bool]], cut: int) -> None:
    """As the timeline does it, block by block."""
    ranges = [Range(at, at + 1, one, is_free and one is not None) for at, (one, is_free) in enumerate(kinds)]
    early, left = runs_so_far(ranges[:cut], Left())
    later, left = runs_so_far(ranges[cut:], left)
    assert [*early, *later, *left.runs] == runs(ranges)
    assert not any(one.is_free for one in settled(ranges))


@contextmanager
def in_small_parts() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tag_list, "MOST", 2)
        patch.setattr(tag_list, "MOST_BLOCKS", 2)
        yield


DRAWN = st.tuples(st.sampled_from([one.notation for one in FREE.concepts]), st.integers(0, 40), st.integers(1, 15))


@given(st.lists(DRAWN, max_size=12))
def test_piece_by_piece_each_counts_for_the_same_phase(drawn: list[tuple[str, int, int]]) -> None:
    """As an edit leaves most pieces as they were; held against all ranges settled as a whole."""
    there = case(FREE, [(notation, start, start + length) for notation, start, length in drawn])
    there = replace(there, tags=tag_list.in_order(there.tags))
    tags = [tag for tag in there.tags if there.vocabulary.by_iri[tag.concept].facet == "step"]
    lines = [there.vocabulary.lineage(there.vocabulary.by_iri[tag.concept], "phase")[0] for tag in tags]
    free = [is_free(there.vocabulary, there.vocabulary.by_iri[tag.concept], "phase") for tag in tags]
    whole = settled(Range(0, 0, line, is_any) for line, is_any in zip(lines, free, strict=True))
    expected = {
        tag.id: tagged_over(there, tag, there.in_facet("phase")) or one.concept
        for tag, one, is_any in zip(tags, whole, free, strict=True)
        if is_any
    }
    with in_small_parts():
        found = settled_lines(replace(there, tags=tuple(there.tags)), "phase")
    assert {tag_id: line[0] for tag_id, line in found.items()} == expected


@given(st.lists(DRAWN, max_size=20), st.lists(st.tuples(DRAWN, st.booleans(), st.integers(0, 19)), max_size=6))
def test_edit_by_edit_each_counts_for_the_same_phase_as_in_a_case_read_anew(
    drawn: list[tuple[str, int, int]], work: list[tuple[tuple[str, int, int], bool, int]]
) -> None:
    with in_small_parts():
        there = case(FREE, [(notation, start, start + length) for notation, start, length in drawn])
        for number, ((notation, start, length), is_running, gone) in enumerate(work):
            new = Tag(f"urn:new:{number}", f"{IRI}#{notation}", start, None if is_running else start + length)
            there = with_tags(there, [new], [tag.id for tag in there.tags[gone : gone + 1]])
            anew = replace(there, tags=tuple(there.tags))
            assert settled_lines(there, "phase") == settled_lines(anew, "phase")


def test_an_edit_leaves_what_is_known_of_the_parts_that_it_does_not_concern() -> None:
    names = ["peel", "haemostasis", "peel", "drain"] * 8
    with in_small_parts():
        there = case(FREE, [(name, at * 10, at * 10 + 9) for at, name in enumerate(names)])
        before = settled_parts(there, "phase")
        changed = replace(there.tags[0], note="bright")
        after = settled_parts(with_tags(there, [changed]), "phase")
        closure = Tag("urn:closure", CLOSURE.iri, 0, 20)
        settled_otherwise = settled_parts(with_tags(there, [closure]), "phase")
    assert len(before) == len(after) == len(names) // 4
    assert after == before
    assert [one is other for one, other in zip(after[1:], before[1:], strict=True)] == [True] * (len(before) - 1)
    assert settled_otherwise[0] != before[0]
    assert all(any(one is other for one in settled_otherwise) for other in before[2:])
