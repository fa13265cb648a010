"""The frame index as numbers: which frame is shown when, at any rational rate and any distances."""

from fractions import Fraction
from math import ceil

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.media.index.frame_index import FrameIndex

RATES = [
    Fraction(24_000, 1_001),
    Fraction(30_000, 1_001),
    Fraction(60_000, 1_001),
    Fraction(24),
    Fraction(25),
    Fraction(50),
]
rates = st.one_of(
    st.sampled_from(RATES),
    st.builds(Fraction, st.integers(1, 240_000), st.integers(1, 1_001)).filter(lambda rate: rate < 1_000),
)


@st.composite
def indexes(draw: st.DrawFn) -> FrameIndex:
    distances = draw(st.lists(st.integers(1, 100_000), min_size=1, max_size=50))
    times = np.cumsum(distances) - distances[0] + draw(st.integers(0, 5_000))
    return FrameIndex(times, int(times[-1]) + draw(st.integers(1, 1_000)))


def at_rate(rate: Fraction, count: int) -> FrameIndex:
    """Frame times by the rule itself: the ceiling of each exact time, in whole numbers."""
    times = [ceil(number * 1_000 / rate) for number in range(count + 1)]
    return FrameIndex(np.array(times[:-1]), times[-1], rate)


@given(rates, st.integers(1, 200))
def test_each_frame_is_shown_at_its_time_and_not_before(rate: Fraction, count: int) -> None:
    index = at_rate(rate, count)
    for number, time in enumerate(index.times.tolist()):
        assert index.shown_at(time) == number
        assert index.shown_at(time - 1) == max(number - 1, 0)
        exact = number * 1_000 / rate
        assert 0 <= time - exact < 1


@given(indexes(), st.integers(-1_000, 6_000_000))
def test_frames_are_half_open(index: FrameIndex, ms: int) -> None:
    shown = index.shown_at(ms)
    times = index.times.tolist()
    assert times[shown] <= ms or shown == 0
    assert shown == len(index) - 1 or ms < times[shown + 1]


@given(indexes(), st.integers(-1_000, 6_000_000))
def test_nearest_is_the_nearest_of_all_boundaries(index: FrameIndex, ms: int) -> None:
    boundaries = [*index.times.tolist(), index.end]
    assert index.nearest(ms) == min(boundaries, key=lambda boundary: (abs(boundary - ms), boundary))


@given(indexes(), st.integers(0, 60), st.integers(-60, 60))
def test_steps_go_by_frames_and_stay_inside(index: FrameIndex, start: int, by: int) -> None:
    times = index.times.tolist()
    start = min(start, len(times) - 1)
    assert index.step(times[start], by) == times[min(max(start + by, 0), len(times) - 1)]


def test_a_step_starts_from_the_frame_on_screen() -> None:
    index = FrameIndex(np.array([0, 34, 67]), 100)
    assert index.step(50, 1) == 67
    assert index.step(50, 0) == 34
    assert index.step(99, -1) == 34
    assert index.step(5_000, -1) == 34


@pytest.mark.parametrize(("times", "end"), [([], 10), ([0, 0], 10), ([5, 4], 10), ([0, 10], 10), ([0, 10], 9)])
def test_what_is_no_index_is_refused(times: list[int], end: int) -> None:
    with pytest.raises(ValueError, match="must increase"):
        FrameIndex(np.array(times, dtype=np.int64), end)


def test_the_index_cannot_be_changed_and_leaves_its_source_alone() -> None:
    given_times = np.array([0, 40, 80])
    index = FrameIndex(given_times, 120)
    with pytest.raises(ValueError, match="read-only"):
        index.times[0] = 5
    given_times[0] = 7
    assert index.times[0] == 0
