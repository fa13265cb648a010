"""What surgeons write and say is taken for what they mean, and what others say is not.

The lists are common practice, no source: `written_words.csv` was written from operation notes' usual phrases, not from
the vocabulary, with each notation that may be meant; `spoken_words.csv` is what is said in theatre; `noted_words.csv`
is what stands in notes on vitreoretinal and cataract operations, written from memory before the vocabularies were read;
`foreign_words.csv` is nonsense, cooking, carpentry, and things denied.
"""

import csv
from pathlib import Path
from string import ascii_letters, ascii_lowercase
from typing import NamedTuple

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.vocabulary import Meaning, Vocabulary
from annotator.model.words.forms import written
from annotator.store.vocabularies import find

HERE = Path(__file__).parent


class Row(NamedTuple):
    words: str
    meant: frozenset[str]


def rows(name: str) -> list[Row]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        read = csv.reader(file)
        next(read)
        return [Row(words, frozenset(meant.split("|"))) for *_, words, meant in read]


def noted() -> list[tuple[Vocabulary, Row]]:
    """What stands in notes, each with the vocabulary of its operation."""
    with (HERE / "noted_words.csv").open(encoding="utf-8", newline="") as file:
        names = [row["vocabulary"] for row in csv.DictReader(file)]
    return list(zip(map(find, names), rows("noted_words.csv"), strict=True))


@pytest.fixture(scope="module")
def ours() -> Vocabulary:
    return find("vitreoretinal")


def meaning(vocabulary: Vocabulary, words: str) -> Meaning | None:
    try:
        return vocabulary.meaning(words)
    except (UnknownName, AmbiguousName):
        return None


def test_what_is_said_in_theatre_is_taken_for_sure(ours: Vocabulary) -> None:
    wrong = []
    for words, meant in rows("spoken_words.csv"):
        found = meaning(ours, words)
        taken = {found.concept.notation} if found and found.is_sure else {"refused"}
        if not taken <= meant:
            wrong.append((words, taken, meant))
    assert wrong == []


def test_of_what_is_written_nearly_all_is_taken_and_hardly_any_for_something_else(ours: Vocabulary) -> None:
    written = rows("written_words.csv")
    found = [(row, meaning(ours, row.words)) for row in written]
    right = [row for row, one in found if one and one.concept.notation in row.meant]
    wrong = [(row, one) for row, one in found if one and one.concept.notation not in row.meant]
    assert len(right) >= 0.9 * len(written), [row.words for row, one in found if one is None]
    assert len(wrong) <= 0.02 * len(written), wrong
    assert not [row for row, one in wrong if one.is_sure]


def test_of_what_stands_in_notes_nearly_all_is_taken_and_nothing_wrong_for_sure() -> None:
    found = [(row, meaning(vocabulary, row.words)) for vocabulary, row in noted()]
    right = [row for row, one in found if one and one.concept.notation in row.meant]
    wrong = [(row, one) for row, one in found if one and one.concept.notation not in row.meant]
    assert len(right) >= 0.95 * len(found), [row.words for row, one in found if one is None]
    assert len(wrong) <= 0.02 * len(found), wrong
    assert not [row for row, one in wrong if one.is_sure]


@pytest.mark.parametrize(
    ("words", "notation", "is_sure"),
    [
        ("silicone oil tamponade", "silicone-oil-fill", True),
        ("SiO", "silicone-oil-fill", True),
        ("Weiss ring", "posterior-hyaloid-separation", False),
        ("debulking", "core-vitrectomy", True),
        ("valved cannulas", "port-placement", False),
        ("nucleus fragmentation", "dropped-lens-removal", True),
        ("IOL out", "lens-explantation", False),
        ("retina flat under air", "retina-flat", False),
        ("recti slung", "muscle-slinging", True),
        ("retinal tear seen", "retinal-break", True),
    ],
)
def test_words_that_were_refused_or_mistaken_before(ours: Vocabulary, words: str, notation: str, is_sure: bool) -> None:
    found = ours.meaning(words)
    assert (found.concept.notation, found.is_sure) == (notation, is_sure)


@pytest.mark.parametrize("words", ["I/A", "I&A", "IA", "i / a"])
def test_letters_with_a_stroke_between_are_an_abbreviation(words: str) -> None:
    assert find("cataract").match(words).notation == "cortex-removal"


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract", "general"])
def test_a_single_letter_names_nothing(name: str) -> None:
    found = {letter: meaning(find(name), letter) for letter in ascii_letters}
    assert {letter: one for letter, one in found.items() if one} == {}


CATARACT = find("cataract")
NAMES = sorted({name for concept in CATARACT.concepts for name in concept.names()})
OF_THE_TRADE = {form for name in NAMES for form in written(name).forms}


def is_nonsense(word: str) -> bool:
    return bool(written(word).forms) and OF_THE_TRADE.isdisjoint(written(word).forms)


nonsense = st.text(ascii_lowercase, min_size=3, max_size=10).filter(is_nonsense)


@given(st.lists(nonsense, min_size=1, max_size=4).map(" ".join))
def test_nonsense_is_never_taken_for_sure(words: str) -> None:
    assume("".join(words.split()) not in {"".join(written(name).words) for name in NAMES})
    found = meaning(CATARACT, words)
    assert not (found and found.is_sure)


@given(st.sampled_from(NAMES), nonsense, st.booleans())
def test_a_name_with_a_strange_word_beside_it_is_never_taken_for_sure(name: str, strange: str, is_first: bool) -> None:
    found = meaning(CATARACT, f"{strange} {name}" if is_first else f"{name} {strange}")
    assert not (found and found.is_sure)


def test_nothing_foreign_is_taken_for_sure_and_little_at_all(ours: Vocabulary) -> None:
    found = [(row.words, meaning(ours, row.words)) for row in rows("foreign_words.csv")]
    assert [words for words, one in found if one and one.is_sure] == []
    assert sum(one is not None for _, one in found) <= 0.1 * len(found)


@pytest.mark.parametrize(("home", "other"), [("vitreoretinal", "cataract"), ("cataract", "vitreoretinal")])
def test_terms_of_another_operation_are_hardly_ever_taken_for_sure(home: str, other: str) -> None:
    ours, theirs = find(home), find(other)
    names = {
        name
        for concept in theirs.concepts
        for name in (concept.label(), *concept.alt_label.get("en", ()))
        if not ours.knows(name)
    }
    taken = [name for name in names if (one := meaning(ours, name)) and one.is_sure]
    assert len(taken) <= 0.02 * len(names), taken


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract", "general"])
def test_every_name_means_its_own_concept_in_any_letters(name: str) -> None:
    vocabulary = find(name)
    for concept in vocabulary.concepts:
        for text in concept.names():
            assert vocabulary.match(text.upper().replace("-", " ")) == concept


@pytest.mark.parametrize(
    ("words", "stranger"),
    [("PVX", "Vitrectomy"), ("retinopathy", "Retinectomy"), ("retinostomy", "Retinectomy"), ("no gas", "Gas")],
)
def test_neighbours_are_told_that_make_sense(ours: Vocabulary, words: str, stranger: str) -> None:
    with pytest.raises(UnknownName) as unknown:
        ours.meaning(words)
    assert stranger not in unknown.value.nearest


@pytest.mark.parametrize("words", ["anterior hyaloid", "anterior hyaloid dissection", "anterior capsulotomy"])
def test_what_is_anterior_is_not_what_other_names_call_posterior(ours: Vocabulary, words: str) -> None:
    with pytest.raises(UnknownName) as refused:
        ours.meaning(words)
    assert not any("osterior" in name for name in refused.value.nearest)
