"""Media Fragments URI 1.0 (basic), the time dimension.

`data/media_fragments_temporal.csv` is a transcription of the examples of the W3C Recommendation of 25 September 2012,
section 4.2.1, https://www.w3.org/TR/2012/REC-media-frags-20120925/ , and of the W3C's test cases for user agents,
TC0001 to TC0094, https://www.w3.org/2008/WebVideo/Fragments/TC/ua-test-cases .
"""

import csv
from decimal import Decimal
from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.formats.case.media_fragment import LONGEST, TimeRange, dumps, loads
from tests.strategies import times

TABLE = Path(__file__).parents[1] / "data" / "media_fragments_temporal.csv"


def published() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def in_ms(seconds: str) -> int:
    return int(Decimal(seconds) * 1000)


def test_the_table_is_whole() -> None:
    assert len(published()) == 72


@pytest.mark.parametrize("row", published(), ids=lambda row: str(row["fragment"]))
def test_every_published_fragment_means_what_the_w3c_says(row: dict[str, str]) -> None:
    expected = None
    if row["valid"] == "yes":
        expected = TimeRange(in_ms(row["start_s"]), in_ms(row["end_s"]) if row["end_s"] else None)
    assert loads(row["fragment"]) == expected


@given(times, times)
def test_what_is_written_is_read_back_to_the_millisecond(one: int, other: int) -> None:
    start, end = sorted((one, other))
    assert loads(dumps(start, None)) == (start, None)
    assert loads(dumps(start, end)) == (None if start == end else (start, end))


@given(times)
def test_written_seconds_are_plain_decimals_without_waste(start: int) -> None:
    written = dumps(start, None).removeprefix("t=")
    assert Decimal(written) * 1000 == start
    assert not written.endswith(".") and ("." not in written or not written.endswith("0"))


@given(st.integers(0, 10**6), st.integers(1, 12))
def test_a_time_between_two_milliseconds_is_the_later_one(digits: int, places: int) -> None:
    """The rule of the whole program: the ceiling, so that a seek lands on the frame that was meant."""
    text = f"{digits // 10**places}.{digits % 10**places:0{places}}"
    found = loads(f"t={text}")
    assert found is not None
    assert found.start == ceil(Fraction(text) * 1000)


def test_ranges_are_compared_exactly_before_they_are_rounded() -> None:
    assert loads("t=1.00010,1.0001") is None
    assert loads("t=1.0001,1.00011") == (1001, 1001)


@given(st.text())
def test_any_text_is_read_or_ignored(text: str) -> None:
    for fragment in (text, f"t={text}", f"t={text},{text}"):
        found = loads(fragment)
        assert found is None or found.end is None or found.start <= found.end


@pytest.mark.parametrize("hostile", ["t=" + "9" * 100_000, "t=0." + "0" * 100_000, "&" * 100_000, "t=%FF", "%E9=3"])
def test_a_hostile_fragment_selects_nothing_and_costs_nothing(hostile: str) -> None:
    assert loads(hostile) is None


def test_many_digits_within_bounds_are_still_exact() -> None:
    assert loads(f"t=1.{'0' * (LONGEST - 5)}1") == (1001, None)
