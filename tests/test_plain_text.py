"""Text from strangers: whatever it holds, nothing of it acts on what shows it.

Categories of the Unicode Standard, chapter 4.5: Cc controls, Cf format, Cs surrogates, Zl and Zp separators.
"""

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from annotator.errors import AnnotatorError, InvalidFile, StoreError, UnknownName
from annotator.plain_text import balanced, is_seen, one_line, plain, quoted, shown

HOSTILE = {
    "colour": "\x1b[31mred",
    "title of the terminal": "\x1b]0;owned\x07",
    "one byte for escape and bracket": "\x9b2J",
    "delete": "abc\x7f\x7f\x7f",
    "back to the start of the line": "bad\rgood",
    "line feed": "bad\nannotator: all is well",
    "next line": "bad\x85good",
    "line separator": "bad\u2028good",
    "paragraph separator": "bad\u2029good",
    "turned round": "\u202egnp.exe",
    "isolated": "\u2066a\u2067b",
    "without width": "co\u200bre\ufeff\u2060",
    "half of a character": "\ud800half",
    "tags": "a\U000e0041\U000e0042",
}

anything = st.text(st.characters(exclude_categories=()), max_size=200)


def test_joiners_are_part_of_what_they_join() -> None:
    assert plain("नमस्‍ते 👩‍⚕️") == "नमस्‍ते 👩‍⚕️"


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_no_message_acts_on_what_shows_it(text: str) -> None:
    for error in (
        AnnotatorError(f"There is no file {text}"),
        StoreError(text),
        UnknownName("concept", text, [text + "s"]),
        InvalidFile(text, [text]),
    ):
        assert all(map(is_seen, str(error))), str(error)


@given(anything)
@example("".join(HOSTILE.values()))
def test_plain_text_is_one_line_that_only_shows_itself(text: str) -> None:
    line = plain(text, 80)
    assert len(line) <= 80
    kinds = {unicodedata.category(one) for one in line if one not in "\u200c\u200d"}
    assert not kinds & {"Cc", "Cf", "Cs", "Zl", "Zp"}
    assert line == plain(line, 80)


@given(anything)
def test_lines_and_blanks_of_what_is_shown_stay(text: str) -> None:
    lines = shown(text).split("\n")
    assert len(lines) == text.count("\n") + 1
    assert all(all(map(is_seen, line)) for line in lines)
    printable = "".join(one for one in text if one == "\n" or is_seen(one))
    assert [line.replace(" ", "") for line in shown(printable).split("\n")] == [
        line.replace(" ", "") for line in printable.split("\n")
    ]


def test_faults_stand_one_a_line_whatever_they_quote() -> None:
    error = InvalidFile("tags\n.csv", ["row 1: “a\nrow 2: made up”", "row 3: \x1b[2J"])
    assert str(error).splitlines() == ["tags .csv", "  row 1: “a row 2: made up”", "  row 3: [2J"]


def test_of_many_faults_the_first_are_told_and_the_others_counted() -> None:
    error = InvalidFile("tags.csv", [f"row {number}: empty" for number in range(1, 44_851)])
    lines = str(error).splitlines()
    assert lines[1] == "  row 1: empty"
    assert lines[50:] == ["  row 50: empty", "  and 44,800 more"]
    assert (len(error.faults), error.more) == (50, 44_800)


def test_a_message_is_not_endless() -> None:
    assert len(str(UnknownName("concept", "x" * 1_000_000, ["y" * 1_000_000]))) < 200
    assert len(str(StoreError("x" * 1_000_000))) < 10_000


def test_names_like_an_unknown_one_are_looked_for_only_when_it_is_told() -> None:
    looked_at: list[str] = []

    def names() -> list[str]:
        looked_at.append("once")
        return ["core vitrectomy"]

    error = UnknownName("step", "core vitrectmoy", (name for make in (names,) for name in make()))
    assert not looked_at
    assert str(error) == str(error) == "There is no step “core vitrectmoy”; did you mean “core vitrectomy”?"
    assert looked_at == ["once"]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("  two\n\twords  ", "two words"),
        ("a\x00b\x1b[2Jc", "ab[2Jc"),
        ("\ud83d", "\ufffd"),
        ("a\u202eb", "a\u202eb\u202c"),
        ("a\u202cb", "ab"),
        ("\u2066a\u202bb\u2069c", "\u2066a\u202bbc\u202c\u2069"),
        ("\u2067\u202aa\u202c\u2069", "\u2067\u202aa\u202c\u2069"),
        ("\u200fמשהו", "\u200fמשהו"),
    ],
)
def test_a_title_that_is_passed_on_is_one_line_with_directions_in_pairs(text: str, line: str) -> None:
    """Unicode Standard Annex 9: what opens a run of another direction is closed, in the reverse order."""
    assert one_line(text) == line


@given(anything)
def test_any_title_can_stand_before_other_text(text: str) -> None:
    line = one_line(text)
    assert one_line(line) == line
    assert "\n" not in line
    assert not any(unicodedata.category(one) in ("Cc", "Cs") for one in line)
    waiting: list[str] = []
    for one in line:
        if one in "\u202a\u202b\u202d\u202e\u2066\u2067\u2068":
            waiting.append("\u202c" if one < "\u2066" else "\u2069")
        elif one in "\u202c\u2069":
            assert waiting.pop() == one
    assert waiting == []


@given(st.text("ab\u202a\u202e\u202c\u2066\u2069", max_size=12))
def test_closing_loses_nothing_but_marks_that_close_nothing(text: str) -> None:
    kept = balanced(text)
    letters = [one for one in text if one not in "\u202c\u2069"]
    assert [one for one in kept if one not in "\u202c\u2069"] == letters
    assert balanced(kept) == kept


@pytest.mark.parametrize(("most", "line"), [(5, "abcde"), (4, "abc…"), (1, "…")])
def test_a_word_in_a_sentence_has_an_end(most: int, line: str) -> None:
    assert plain("abcde", most) == line
    assert quoted("abcde", most) == f"“{line}”"
