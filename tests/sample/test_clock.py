"""Frame times as exact fractions, checked by hand-worked examples and properties."""

from fractions import Fraction
from math import ceil

from hypothesis import given
from hypothesis import strategies as st

from sample_media.render.clock import UNEVEN, Clock, Reel

RATES = st.sampled_from(
    [Fraction(24_000, 1001), Fraction(25), Fraction(30_000, 1001), Fraction(50), Fraction(60_000, 1001)]
)


def test_a_29_97_frame_is_rounded_up() -> None:
    clock = Clock(Fraction(30_000, 1001), 100)
    # 1001/30000 s is 33.366... ms, three frames are 100.1 ms.
    assert [clock.ms(n) for n in (0, 1, 3, 30)] == [0, 34, 101, 1001]


def test_a_container_that_counts_milliseconds_rounds_to_the_nearest() -> None:
    clock = Clock(Fraction(30_000, 1001), 100, tick=Fraction(1, 1000))
    assert [clock.ms(n) for n in (0, 1, 2, 3, 4)] == [0, 33, 67, 100, 133]


def test_uneven_frames_keep_the_average() -> None:
    assert sum(UNEVEN) == 4 * len(UNEVEN)
    assert Clock(Fraction(25), 240, variable=True).time(240) == Fraction(240, 25)


@given(RATES, st.integers(2, 400), st.booleans())
def test_times_rise_and_the_nearest_frame_of_a_frames_time_is_itself(
    rate: Fraction, count: int, variable: bool
) -> None:
    reel = Reel([Clock(rate, count, variable)])
    times = [reel.exact(n) for n in range(count + 1)]
    assert times == sorted(set(times))
    assert all(reel.nearest(float(reel.exact(n))) == n for n in (0, count // 2, count))


@given(RATES, st.lists(st.integers(1, 90), min_size=1, max_size=5))
def test_case_time_is_the_files_before_and_the_time_within(rate: Fraction, counts: list[int]) -> None:
    reel = Reel([Clock(rate, count) for count in counts])
    number = before = 0
    for count in counts:
        for within in range(count):
            assert reel.case_ms(number) == before + ceil(within / rate * 1000)
            number += 1
        before += ceil(count / rate * 1000)
    assert reel.case_ms(number) == before
