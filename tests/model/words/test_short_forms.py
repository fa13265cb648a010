"""Abbreviations are read from the names of a thing: one writes out what another abbreviates."""

import pytest

from annotator.model.words.forms import written
from annotator.model.words.short_forms import MOST_OF_ONE, Name, ShortForms, short_forms


def names(*texts: str) -> list[Name]:
    return [Name("it", text) for text in texts]


@pytest.mark.parametrize(
    ("short", "long", "words"),
    [
        ("ILM peeling", "Inner limiting membrane peeling", "inner limiting membrane"),
        ("ERM peel", "epiretinal membrane peel", "epiretinal membrane"),
        ("drainage of SRF", "drainage of subretinal fluid", "subretinal fluid"),
        ("PVD", "posterior vitreous detachment", "posterior vitreous detachment"),
        ("PFCL removal", "perfluorocarbon liquid removal", "perfluorocarbon liquid"),
    ],
)
def test_an_abbreviation_stands_for_what_another_name_writes_out(short: str, long: str, words: str) -> None:
    assert short_forms(names(short, long))[written(words).forms] == short.split()[-1 if " of " in short else 0].lower()


@pytest.mark.parametrize(
    ("short", "long"),
    [
        ("ILM peeling", "Epiretinal membrane peeling"),  # other letters
        ("ILM peeling", "Inner limiting membrane staining"),  # something else is said of it
        ("Ilm peeling", "Inner limiting membrane peeling"),  # no capitals
        ("PRP", "panretinal laser"),  # no second p
    ],
)
def test_nothing_else_is_taken_for_an_abbreviation(short: str, long: str) -> None:
    assert short_forms(names(short, long)) == {}


def test_names_of_different_things_explain_nothing() -> None:
    assert short_forms([Name("one", "PVD"), Name("other", "posterior vitreous detachment")]) == {}


def test_the_longest_is_shortened_first() -> None:
    shorts = ShortForms([*names("AB x", "alpha beta x"), *names("ABC y", "alpha beta coda y")])
    forms = written("x alpha beta coda alpha beta").forms
    assert shorts.put_in(forms) == ("x", "abc", "ab")
    assert shorts.put_in(("x", "y")) == ("x", "y")


def test_of_a_thing_with_endless_names_only_the_first_are_compared() -> None:
    fillers = [f"name {number}" for number in range(MOST_OF_ONE)]
    explained = ["ILM peeling", "Inner limiting membrane peeling"]
    assert short_forms(names(*explained, *fillers))
    assert short_forms(names(*fillers, *explained)) == {}
