"""Every figure on ranges equals the one that another library gets from a grid with one cell for each millisecond."""

from collections.abc import Sequence
from itertools import pairwise

import krippendorff
import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from sklearn.metrics import accuracy_score, cohen_kappa_score, confusion_matrix, jaccard_score

from annotator.measure.agreement.boundaries import pairs
from annotator.measure.agreement.chance import accuracy, alpha, kappa, table_of, units
from annotator.measure.agreement.moments import nearest_pairs
from annotator.measure.agreement.overlap import overlaps
from annotator.measure.agreement.segmental import edit, hits
from annotator.measure.agreement.spans import Span, one_at_a_time, pieces
from annotator.model.interval import Interval

LENGTH = 120
WHOLE = Interval(0, LENGTH)
NAMES = ("", "A", "B", "C")

people = st.lists(
    st.tuples(st.integers(0, LENGTH - 1), st.integers(1, LENGTH), st.sampled_from(NAMES[1:])), max_size=8
).map(lambda drawn: one_at_a_time(Span(start, min(start + length, LENGTH), name) for start, length, name in drawn))
"""What somebody says of a short time, with gaps and repetitions."""

times = st.lists(st.integers(0, 60), max_size=8).map(sorted)


def grid(spans: Sequence[Span]) -> list[int]:
    cells = [0] * LENGTH
    for start, end, name in spans:
        cells[start:end] = [NAMES.index(name)] * (end - start)
    return cells


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(1, 60), st.sampled_from("ABC")), max_size=8))
def test_of_tags_that_overlap_the_last_begun_counts(drawn: list[tuple[int, int, str]]) -> None:
    cells = [""] * LENGTH
    for start, length, name in sorted(drawn, key=lambda one: (one[0], -one[1], -ord(one[2]))):
        cells[start : start + length] = [name] * length
    laid = one_at_a_time(Span(start, start + length, name) for start, length, name in drawn)
    found = [""] * LENGTH
    for start, end, name in laid:
        found[start:end] = [name] * (end - start)
    assert found == cells
    touching = ((one, two) for one, two in pairwise(laid) if one.end == two.start)
    assert all(one.name != two.name for one, two in touching)


@given(people, people)
def test_kappa_accuracy_and_confusion_equal_those_of_a_grid(one: list[Span], other: list[Span]) -> None:
    table = table_of(pieces([one, other], WHOLE))
    first, second = grid(one), grid(other)
    assert accuracy(table) == pytest.approx(accuracy_score(first, second))
    matrix = confusion_matrix(first, second, labels=range(len(NAMES)))
    counted = {
        (NAMES[row] or None, NAMES[column] or None): int(count) for (row, column), count in np.ndenumerate(matrix)
    }
    assert table == {pair: count for pair, count in counted.items() if count}
    if len({*first, *second}) == 1:
        assert kappa(table) is None
    else:
        assert kappa(table) == pytest.approx(cohen_kappa_score(first, second), abs=1e-12)


@given(people, people)
def test_overlap_equals_that_of_a_grid(one: list[Span], other: list[Span]) -> None:
    found = overlaps(one, other)
    first, second = grid(one), grid(other)
    assert found.keys() == {NAMES[cell] for cell in {*first, *second} if cell}
    for name, overlap in found.items():
        score = jaccard_score(first, second, labels=[NAMES.index(name)], average=None)[0]
        assert overlap.iou == pytest.approx(score)


@given(st.lists(people, min_size=3, max_size=4))
def test_alpha_of_several_equals_that_of_a_grid(everybody: list[list[Span]]) -> None:
    grids = [grid(spans) for spans in everybody]
    found = alpha(units(table_of(pieces(everybody, WHOLE))))
    if len({cell for cells in grids for cell in cells}) == 1:
        assert found is None
    else:
        expected = krippendorff.alpha(reliability_data=np.array(grids, float), level_of_measurement="nominal")
        assert found == pytest.approx(float(expected), abs=1e-12)


@given(people, people)
def test_nothing_depends_on_who_is_first_but_f1(one: list[Span], other: list[Span]) -> None:
    there, back = (table_of(pieces(both, WHOLE)) for both in ([one, other], [other, one]))
    assert (accuracy(there), kappa(there)) == (accuracy(back), kappa(back))
    assert edit(one, other) == edit(other, one)
    assert {name: found.iou for name, found in overlaps(one, other).items()} == {
        name: found.iou for name, found in overlaps(other, one).items()
    }


@given(people)
def test_who_agrees_with_himself_agrees_wholly(one: list[Span]) -> None:
    assume(one)
    table = table_of(pieces([one, one], WHOLE))
    assert (accuracy(table), kappa(table)) == (1, 1) or kappa(table) is None
    assert (edit(one, one), hits(one, one)[50].f1) == (1, 1)
    assert all(found.iou == found.dice == 1 for found in overlaps(one, one).values())


@given(times, times, st.integers(0, 15))
def test_as_many_times_are_pairs_as_can_be(these: list[int], those: list[int], tolerance: int) -> None:
    found = pairs(these, those, tolerance)
    assert all(abs(one - other) <= tolerance for one, other in found)
    assert len(found) == _most_pairs(these, those, tolerance)


@given(times, times, st.integers(0, 15))
def test_moments_are_pairs_with_the_nearest_first(these: list[int], those: list[int], tolerance: int) -> None:
    found = nearest_pairs(these, those, tolerance)
    left = [list(these), list(those)]
    for one, other in found:
        assert abs(one - other) == min(abs(first - second) for first in left[0] for second in left[1]) <= tolerance
        left[0].remove(one)
        left[1].remove(other)
    assert all(abs(first - second) > tolerance for first in left[0] for second in left[1])


def _most_pairs(these: list[int], those: list[int], tolerance: int) -> int:
    """By trying every way (augmenting paths)."""
    partner: dict[int, int] = {}

    def finds(one: int, tried: set[int]) -> bool:
        for at, other in enumerate(those):
            if abs(these[one] - other) <= tolerance and at not in tried:
                tried.add(at)
                if at not in partner or finds(partner[at], tried):
                    partner[at] = one
                    return True
        return False

    return sum(finds(one, set()) for one in range(len(these)))
