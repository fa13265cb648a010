"""What every message has: a sentence, an end, the nearest names, and no more faults than one can read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import (
    FEW_NAMES,
    LONGEST_NAME,
    LONGEST_SENTENCE,
    MOST_FAULTS,
    AmbiguousName,
    AnnotatorError,
    CaseBusy,
    ChangedOutside,
    Gathered,
    InvalidFile,
    InvalidTime,
    MediaError,
    StoreError,
    UnknownName,
    listed,
    nearest,
    told,
)


def faults(count: int) -> list[str]:
    return [f"fault {number}" for number in range(count)]


@pytest.mark.parametrize(
    ("names", "phrase"),
    [(["a"], "“a”"), (["a", "b"], "“a” or “b”"), (["a", "b", "c"], "“a”, “b” or “c”"), (["a\nb"], "“a b”")],
)
def test_names_make_a_phrase(names: list[str], phrase: str) -> None:
    assert listed(names) == phrase
    assert listed(names, "and") == phrase.replace(" or ", " and ")


@pytest.mark.parametrize(
    ("name", "known", "found"),
    [
        ("delam", ["Delamination", "Segmentation"], ("Delamination",)),
        ("segmentaton", ["Delamination", "Segmentation"], ("Segmentation", "Delamination")),
        ("peel", ["Membrane peel", "Peeling", "Other"], ("Peeling", "Membrane peel")),
        ("CORE", ["core"], ("core",)),
        ("co", ["core vitrectomy"], ()),
        ("cor", ["core vitrectomy"], ("core vitrectomy",)),
        ("zzz", ["core"], ()),
        ("", ["core"], ()),
        ("x" * (LONGEST_NAME + 1), ["x" * LONGEST_NAME], ()),
        ("x" * LONGEST_NAME, ["x" * (LONGEST_NAME + 1)], ()),
        ("abcd", ["abcde", "abcdf", "abcdg", "abcdh"], ("abcde", "abcdf", "abcdg")),
    ],
)
def test_people_shorten_and_misspell(name: str, known: list[str], found: tuple[str, ...]) -> None:
    assert nearest(name, known) == found
    assert nearest(name, known, most=1) == found[:1]


def test_an_unknown_name_is_told_with_the_nearest_or_with_the_few_that_there_are() -> None:
    assert str(UnknownName("step", "cor", ["core", "air"])) == "There is no step “cor”; did you mean “core”?"
    assert str(UnknownName("step", "zzz", ["core", "air"])) == "There is no step “zzz”; available: “core” and “air”"
    assert str(UnknownName("step", "zzz", ["core"])) == "There is no step “zzz”; available: “core”"
    assert str(UnknownName("step", "zzz", [])) == "There is no step “zzz”"
    many = [f"name {number}" for number in range(FEW_NAMES + 1)]
    assert str(UnknownName("step", "zzz", many)) == "There is no step “zzz”"
    assert str(UnknownName("step", "zzz", many[:-1])).startswith("There is no step “zzz”; available: “name 0”")


def test_names_near_are_looked_for_once_somebody_asks_and_then_once() -> None:
    asked: list[str] = []

    def known() -> object:
        asked.append("asked")
        yield "core"

    error = UnknownName("step", "cor", known())  # type: ignore[arg-type] # an iterator is an iterable
    assert asked == []
    assert (error.nearest, str(error), str(error)) == (("core",), str(error), str(error))
    assert asked == ["asked"]


def test_of_many_faults_the_first_are_told_and_the_others_counted() -> None:
    assert told(faults(3)) == ("fault 0", "fault 1", "fault 2")
    assert told(faults(3), most=2) == ("fault 0", "fault 1", "and 1 more")
    assert told(faults(3), more=1_234) == ("fault 0", "fault 1", "fault 2", "and 1,234 more")
    assert told([], more=2) == ("and 2 more",)


def test_one_fault_stands_behind_the_file_and_several_below() -> None:
    assert str(InvalidFile("a.csv", ["it is empty"])) == "a.csv: it is empty"
    assert str(InvalidFile("a.csv", ["one", "two"])) == "a.csv\n  one\n  two"
    assert str(InvalidFile("a.csv", ["one"], more=3)) == "a.csv\n  one\n  and 3 more"


def test_no_file_has_more_faults_than_are_told() -> None:
    error = InvalidFile("a.csv", faults(MOST_FAULTS + 7), more=5)
    assert (len(error.faults), error.more) == (MOST_FAULTS, 12)
    assert str(error).endswith(f"  fault {MOST_FAULTS - 1}\n  and 12 more")
    assert error.in_short(2) == f"a.csv\n  fault 0\n  fault 1\n  and {MOST_FAULTS - 2 + 12} more"
    assert InvalidFile("a.csv", ["one", "two"]).in_short(5) == "a.csv\n  one\n  two"


@given(st.integers(0, 2 * MOST_FAULTS), st.integers(0, 9), st.integers(0, 2 * MOST_FAULTS))
def test_faults_gathered_apart_are_as_many_together(here: int, more: int, there: int) -> None:
    gathered, other = Gathered(), Gathered()
    for one in faults(there):
        other.note(one.title)
    for one in faults(here):
        gathered.note(one.title)
    gathered.join(other.said, other.more + more)
    assert gathered.count == here + there + more
    assert len(gathered.said) == min(here + there, MOST_FAULTS)
    assert (f"and {gathered.more:,} more" in gathered.lines) == (gathered.more > 0)


def test_a_fault_that_is_only_counted_costs_no_sentence() -> None:
    gathered, made = Gathered(), []

    def sentence() -> str:
        made.append(1)
        return "x"

    for _ in range(MOST_FAULTS + 3):
        gathered.note(sentence)
    assert len(made) == MOST_FAULTS


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (InvalidTime("0:61"), "“0:61” is not a time; write H:MM:SS.mmm, MM:SS or seconds, such as 0:12:05.480"),
        (InvalidTime("0:61", "why"), "“0:61” is not a time: why; write"),
        (AmbiguousName("concept", "gas", ["gas", "line"]), "“gas” can mean “gas” or “line”; use one of these"),
        (CaseBusy("a", "by x"), "a is open elsewhere (by x); close it there and try again"),
        (CaseBusy("a", "by x", is_here=True), "a is open in this program; close it there"),
        (ChangedOutside("a", is_gone=True), "a is gone: it was deleted, moved or renamed while it was open"),
        (ChangedOutside("a", is_gone=False), "a was changed by another program while it was open here"),
    ],
)
def test_each_says_what_is_wrong_and_what_to_try(error: AnnotatorError, says: str) -> None:
    assert str(error).startswith(says)


def test_a_message_has_an_end() -> None:
    assert len(str(AnnotatorError("x" * 10 * LONGEST_SENTENCE))) == LONGEST_SENTENCE
    assert str(AnnotatorError("a\nb", "c\nd")) == "a b\n  c d"


def test_whoever_asks_for_the_errors_of_python_gets_ours() -> None:
    for error, kind in (
        (InvalidTime("x"), ValueError),
        (UnknownName("x", "y", []), LookupError),
        (MediaError("x"), OSError),
        (StoreError("x"), OSError),
        (InvalidFile("x", ["y"]), ValueError),
    ):
        assert isinstance(error, kind)
        assert isinstance(error, AnnotatorError)
