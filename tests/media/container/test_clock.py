"""From ticks to milliseconds, for whole arrays, against exact fractions one by one."""

from fractions import Fraction

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from annotator.media.container.clock import to_ms
from annotator.model.timecode import from_ticks

time_bases = st.one_of(
    st.sampled_from(
        [Fraction(1, 90_000), Fraction(1, 1_000), Fraction(1, 12_800), Fraction(1_001, 30_000), Fraction(1, 10**9)]
    ),
    st.builds(Fraction, st.integers(1, 5_000), st.integers(1, 2**31 - 1)),
)
zeros = st.one_of(
    st.integers(-(10**8), 10**11).map(lambda micro: Fraction(micro, 1_000_000)),
    st.builds(Fraction, st.integers(-(10**9), 10**12), st.sampled_from([90_000, 30_000, 48_000])),
)


@given(st.lists(st.integers(-(2**40), 2**40), max_size=30), time_bases, zeros)
def test_every_stamp_is_the_exact_ceiling(stamps: list[int], time_base: Fraction, zero: Fraction) -> None:
    got = to_ms(np.array(stamps, dtype=np.int64), time_base, zero)
    assert got.tolist() == [from_ticks(stamp, time_base, zero) for stamp in stamps]


def test_three_hours_of_a_transport_stream() -> None:
    stamps = np.arange(0, 3 * 3_600 * 60) * 1_501 + 8_589_000_000
    zero = Fraction(95_433_333_333, 1_000_000)
    got = to_ms(stamps, Fraction(1, 90_000), zero)
    for at in (0, 1, 12_345, len(stamps) - 1):
        assert got[at] == from_ticks(int(stamps[at]), Fraction(1, 90_000), zero)
