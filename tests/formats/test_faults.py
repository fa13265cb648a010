"""What a text may hold, and how faults are told with their places."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import MOST_FAULTS
from annotator.formats.faults import LONGEST_TEXT, Faults, fault_of_text, short

any_text = st.text(st.characters(exclude_categories=()), max_size=20)


@given(any_text)
def test_a_text_is_well_unless_it_is_empty_or_holds_what_no_file_keeps(text: str) -> None:
    odd = [one for one in text if unicodedata.category(one) in ("Cc", "Cs") and one not in "\t\n"]
    fault = fault_of_text(text)
    if not text.strip():
        assert fault == "the text is empty"
    elif odd:
        assert f"U+{ord(odd[0]):04X}" in fault
    else:
        assert fault == ""


@pytest.mark.parametrize("plain", [None, 1, ["a"], b"a", {}])
def test_anything_else_is_no_text(plain: object) -> None:
    assert fault_of_text(plain) == "this must be text"


def test_the_longest_text_is_well_and_a_longer_one_is_not() -> None:
    assert fault_of_text("x" * LONGEST_TEXT) == ""
    assert fault_of_text("x" * (LONGEST_TEXT + 1)) == f"the text is longer than {LONGEST_TEXT} characters"


def place(path: tuple[str | int, ...]) -> str:
    return "/".join(map(str, path))


def test_a_fault_has_its_place_and_the_nearest_of_what_is_known() -> None:
    faults = Faults(place)
    faults.add(("a", 3), "this is unknown", "facetts", ["facets", "concepts"])
    faults.add((), "this too", "zzz", ["facets"])
    assert faults.said == ["a/3: this is unknown; did you mean “facets”?", "this too"]


def test_of_very_many_faults_the_others_are_counted_and_cost_no_words() -> None:
    asked: list[tuple[str | int, ...]] = []

    def noted(path: tuple[str | int, ...]) -> str:
        asked.append(path)
        return ""

    faults = Faults(noted)
    for number in range(MOST_FAULTS + 5):
        faults.add((number,), "no")
    assert (len(faults.said), faults.more, len(asked)) == (MOST_FAULTS, 5, MOST_FAULTS)


def test_a_value_in_a_sentence_is_short() -> None:
    assert short("x" * 100) == f"{'x' * 59}…"
    assert short([1, "a\nb"]) == "[1, 'a\\nb']"
