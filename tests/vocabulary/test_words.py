"""What surgeons write and say is taken for what they mean, and what others say is not.

The lists are common practice, no source: `written_words.csv` was written from operation notes' usual phrases, not from
the vocabulary, with each notation that may be meant; `spoken_words.csv` is what is said in theatre; `foreign_words.csv`
is nonsense, cooking, carpentry, and things denied.
"""

import csv
from pathlib import Path
from typing import NamedTuple

import pytest

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.vocabulary import Meaning, Vocabulary
from annotator.store.vocabularies import find

HERE = Path(__file__).parent


class Row(NamedTuple):
    words: str
    meant: frozenset[str]


def rows(name: str) -> list[Row]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        read = csv.reader(file)
        next(read)
        return [Row(words, frozenset(meant.split("|"))) for words, meant in read]


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
