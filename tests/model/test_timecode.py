"""The one unit of time."""

from fractions import Fraction
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidTime
from annotator.model.timecode import HOUR, LATEST, SECOND, ceil_ms, clock, from_ticks, parse, span
from tests.strategies import frame_rates, times


@given(times)
def test_what_is_printed_is_read_back(ms: int) -> None:
    assert parse(clock(ms)) == ms


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("0", 0),
        ("12.5", 12_500),
        ("12,5", 12_500),
        ("725.48", 725_480),
        ("0:12:05.480", 725_480),
        ("12:05.480", 725_480),
        ("  1:02  ", 62_000),
        ("90:00", 90 * 60_000),
        ("1:00:00", HOUR),
        ("0.0004", 0),
        ("0.0006", 1),
        ("1000:00:00", LATEST),
    ],
)
def test_the_forms_of_a_time(text: str, ms: int) -> None:
    assert parse(text) == ms


@pytest.mark.parametrize(
    "text",
    [
        "",
        "abc",
        "-1",
        "1:60",
        "1:2",
        "0:60:00",
        "1:2:03",
        "1::2",
        "1.",
        ".5",
        "1e3",
        "１:00",
        "1000:00:00.001",
        "9" * 5000,
    ],
)
def test_anything_else_is_refused_with_the_form_expected(text: str) -> None:
    with pytest.raises(InvalidTime, match=r"write H:MM:SS\.mmm"):
        parse(text)


@given(st.text(alphabet="0123456789:., -"))
def test_no_text_breaks_the_reader(text: str) -> None:
    try:
        assert 0 <= parse(text) <= LATEST
    except InvalidTime as error:
        assert error.text == text


@given(st.fractions(min_value=0, max_value=3_600_000))
def test_the_ceiling_is_the_first_millisecond_not_before_the_time(seconds: Fraction) -> None:
    ms = ceil_ms(seconds)
    assert ms - 1 < seconds * 1000 <= ms


@given(frame_rates, st.integers(0, 10**7))
def test_a_seek_to_a_frame_s_written_time_shows_that_frame(rate: Fraction, frame: int) -> None:
    """A player shows the last frame that starts at or before the time sought; frames here last 1 ms or more."""
    if rate > 1000:
        rate = Fraction(1000)
    written = Fraction(ceil_ms(frame / rate), 1000)
    shown = written * rate // 1
    assert shown == frame


@given(st.integers(0, 2**40), st.integers(1, 192_000), st.integers(-(2**20), 2**20))
def test_ticks_become_milliseconds_exactly(pts: int, per_second: int, zero: int) -> None:
    time_base = Fraction(1, per_second)
    assert from_ticks(pts, time_base, zero * time_base) == ceil(Fraction((pts - zero) * 1000, per_second))


@pytest.mark.parametrize(
    ("ms", "text"),
    [
        (0, "0:00"),
        (499, "0:00"),
        (500, "0:01"),
        (2_500, "0:03"),
        (362_000, "6:02"),
        (59_999, "1:00"),
        (3_849_000, "1:04:09"),
    ],
)
def test_lengths_for_reading(ms: int, text: str) -> None:
    assert span(ms) == text


@given(times)
def test_a_length_for_reading_is_at_most_half_a_second_off(ms: int) -> None:
    parts = [int(part) for part in span(ms).split(":")]
    seconds = sum(part * unit for part, unit in zip(reversed(parts), (1, 60, 3600), strict=False))
    assert abs(seconds * SECOND - ms) <= SECOND // 2
