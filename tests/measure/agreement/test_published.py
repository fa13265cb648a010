"""Figures that are published, or counted by hand, each with its source."""

from collections import Counter
from collections.abc import Sequence

import pytest

from annotator.measure.agreement.boundaries import boundaries, distances, pairs
from annotator.measure.agreement.chance import Unit, ac1, accuracy, alpha, fleiss_kappa, kappa, table_of
from annotator.measure.agreement.overlap import Overlap, overlaps
from annotator.measure.agreement.segmental import Hits, edit, hits
from annotator.measure.agreement.spans import Span, pieces
from annotator.measure.over_cases.spread import spread
from annotator.model.interval import Interval

Rows = list[list[int]]

GWET_3: Rows = [[13, 0, 0], [0, 20, 7], [0, 4, 56]]
GWET_4: Rows = [[40, 6, 4, 15], [4, 25, 1, 5], [4, 2, 21, 9], [17, 13, 12, 45]]


def near(value: float) -> object:
    """Sources print six decimals."""
    return pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([[20, 5], [10, 15]], 0.4),  # textbook example, recomputed
        ([[45, 15], [25, 15]], 0.130435),  # the same
        ([[25, 35], [5, 35]], 0.259259),  # the same
        ([[20, 20], [10, 50]], 0.347826),  # Artstein and Poesio, Computational Linguistics 34 (2008), table 1
        ([[46, 0, 0], [6, 32, 6], [0, 0, 10]], 0.801325),  # the same, table 4
        ([[46, 0, 0], [4, 40, 0], [0, 0, 10]], 0.931507),  # the example of scikit-learn's tests, unweighted
        ([[0, 4, 1], [0, 8, 0], [0, 1, 5]], 0.484163),  # SAS documentation, by way of statsmodels' tests
        (GWET_3, 0.796409),  # Gwet, Handbook of inter-rater reliability (2014): two abstractors, 100 patients
        (GWET_4, 0.431501),  # the same: 223 patients
        ([[118, 5], [2, 0]], -0.023392),  # where one answer takes nearly all; recomputed
    ],
)
def test_kappa_is_the_published_one(rows: Rows, expected: float) -> None:
    assert kappa(_table(rows)) == near(expected)


@pytest.mark.parametrize(
    ("rows", "expected"),
    [(GWET_3, 0.849331), (GWET_4, 0.456158), ([[118, 5], [2, 0]], 0.940776)],  # Gwet 2014; the last one recomputed
)
def test_ac1_is_the_published_one(rows: Rows, expected: float) -> None:
    units = [(count, Counter(map(str, pair))) for pair, count in _table(rows).items()]
    assert ac1(units) == near(expected)


# Krippendorff, Computing Krippendorff's alpha-reliability (2011), sections A, B and C; D is the encyclopaedia's example
# that the library krippendorff keeps in its tests. A dot is a unit that somebody has not answered.
ALPHA = {
    "A": (["0100000010", "1110010000"], 0.095238),
    "B": (["aabbdcccedda", "babbbccceddd"], 0.691964),
    "C": (["123321412...", "1233224125.3", ".3332342251.", "12332441251."], 0.743421),
    "D": ([".....34121133.3", "1.213343.......", "..21344.21133.4"], 0.691358),
}


@pytest.mark.parametrize("example", ALPHA)
def test_alpha_is_the_published_one(example: str) -> None:
    people, expected = ALPHA[example]
    assert alpha(_units(people)) == near(expected)


def test_ac1_of_four_people_with_gaps_is_the_published_one() -> None:
    assert ac1(_units(ALPHA["C"][0])) == near(0.775444)  # Gwet 2014


# Fleiss, Psychological Bulletin 76 (1971): how many of six psychiatrists gave each of five diagnoses to 30 patients.
FLEISS = (
    "00060 03003 01401 00006 03030 20400 00402 20310 20040 00006 10050 11040 03300 10050 02031 00501 30012 51000"
    " 02040 10203 00006 01050 02013 20040 10041 05010 40002 02040 10500 00006"
)


@pytest.mark.parametrize(
    ("counts", "expected"),
    [
        (FLEISS, 0.430245),
        ("71 35", 0.161905),  # statsmodels' tests
        ("610 070", 0.708333),  # the same
    ],
)
def test_fleiss_kappa_is_the_published_one(counts: str, expected: float) -> None:
    units = [(1, {str(place): int(one) for place, one in enumerate(row)}) for row in counts.split()]
    assert fleiss_kappa(units) == near(expected)


# Counted by hand by the definitions of Lea and others (CVPR 2017): 100 frames stand for ms; a dash is untagged.
# Name, truth, prediction, accuracy, edit, F1 at 10, 25 and 50, hits at 50.
SEGMENTAL = {
    "the same": ("A10 B20 C10", "A10 B20 C10", 1, 1, (1, 1, 1), (3, 0, 0)),
    "shifted": ("A10 B20 C10", "A14 B12 C14", 0.8, 1, (1, 1, 1), (3, 0, 0)),
    "over-segmented": ("A10 B20 C10", "A10 B8 A2 B10 C10", 0.95, 0.6, (0.75, 0.75, 0.75), (3, 2, 0)),
    "missed": ("A10 B20 C10", "A12 C28", 0.5, 2 / 3, (0.8, 0.8, 0.4), (1, 1, 2)),
    "swapped": ("A10 B20 C10", "B10 A20 C10", 0.25, 1 / 3, (1 / 3, 1 / 3, 1 / 3), (1, 2, 2)),
    "untagged time": ("-5 A10 -5 B20 -10", "-8 A10 -2 B15 C5 -10", 0.78, 2 / 3, (0.8, 0.8, 0.8), (2, 1, 0)),
    "just half": ("A20 B20", "A10 B30", 0.75, 1, (1, 1, 1), (2, 0, 0)),
    "just under half": ("A20 B20", "A9 B31", 0.725, 1, (1, 1, 0.5), (1, 1, 1)),
}


@pytest.mark.parametrize("name", SEGMENTAL)
def test_segmental_figures_are_those_counted_by_hand(name: str) -> None:
    truth, prediction, same, order, f1, counted = SEGMENTAL[name]
    (one, whole), (other, _) = _spans(truth), _spans(prediction)
    assert accuracy(table_of(pieces([one, other], whole))) == near(same)
    assert edit(one, other) == near(order)
    assert [found.f1 for found in hits(one, other).values()] == [near(value) for value in f1]
    assert hits(one, other)[50] == Hits(*counted)


@pytest.mark.parametrize(
    ("one", "other", "common", "either", "iou", "dice"),
    [
        ((0, 10), (0, 10), 10, 10, 1, 1),
        ((0, 10), (5, 15), 5, 15, 1 / 3, 0.5),
        ((0, 10), (10, 20), 0, 20, 0, 0),
        ((0, 10), (2, 8), 6, 10, 0.6, 0.75),
        ((10, 20), (0, 5), 0, 15, 0, 0),
        ((30, 90), (45, 100), 45, 70, 0.642857, 0.782609),
    ],
)
def test_overlap_of_two_ranges(
    one: tuple[int, int], other: tuple[int, int], common: int, either: int, iou: float, dice: float
) -> None:
    found = overlaps([Span(*one, "A")], [Span(*other, "A")])["A"]
    assert found == Overlap(one[1] - one[0], other[1] - other[0], common)
    assert (found.either, found.iou, found.dice) == (either, near(iou), near(dice))


# The example of boundary retrieval in the library mir_eval, in half seconds; all of them, and without first and last.
TRUE, GUESSED = [0, 20, 60, 80, 120], [0, 22, 56, 82, 110, 120]


@pytest.mark.parametrize(
    ("tolerance", "matched", "matched_inside"),
    [(1, 2, 0), (2, 4, 2), (4, 5, 3), (6, 5, 3)],
)
def test_boundaries_within_a_tolerance(tolerance: int, matched: int, matched_inside: int) -> None:
    assert len(pairs(TRUE, GUESSED, tolerance)) == matched
    assert len(pairs(TRUE[1:-1], GUESSED[1:-1], tolerance)) == matched_inside


def test_boundaries_of_a_published_fixture() -> None:
    """The first segmentation fixture of mir_eval's tests, in tenths of ms: recall 0.6 at 0.5 s and 0.9 at 3 s."""
    true = [0, 3830, 73320, 271090, 470150, 671230, 871030, 1076490, 1281140, 1427630]
    guessed = [0, 60000, 148000, 264000, 348000, 466000, 526000, 580000, 672000, 858000, 950000]
    guessed += [1072000, 1140000, 1190000, 1278000, 1338000, 1384000, 1427630]
    assert [len(pairs(true, guessed, tolerance)) for tolerance in (5_000, 30_000)] == [6, 9]
    found = [spread(one) for one in (distances(true, guessed), distances(guessed, true))]
    assert [one.median for one in found if one] == [3_990, 28_475]


def test_the_edges_of_what_is_compared_are_nobodys_decision() -> None:
    one, other = [Span(0, 40, "A"), Span(40, 100, "B")], [Span(0, 50, "A"), Span(50, 100, "B")]
    found = boundaries(one, other, 10, Interval(0, 100))
    assert (found.one, found.other, found.matched, found.within) == (1, 1, 1, 1.0)
    assert found.differences == spread([10, 10])


def _table(rows: Rows) -> dict[tuple[str | None, ...], int]:
    return {(str(row), str(column)): count for row, line in enumerate(rows) for column, count in enumerate(line)}


def _units(people: Sequence[str]) -> list[Unit]:
    return [(1, Counter(one for one in answers if one != ".")) for answers in zip(*people, strict=True)]


def _spans(text: str) -> tuple[list[Span], Interval]:
    at, found = 0, []
    for word in text.split():
        length = int(word[1:])
        if word[0] != "-":
            found.append(Span(at, at + length, word[0]))
        at += length
    return found, Interval(0, at)
