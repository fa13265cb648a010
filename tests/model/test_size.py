"""Sizes in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.size import size_in_words


@pytest.mark.parametrize(
    ("size", "words"),
    [
        (0, "0 B"),
        (999, "999 B"),
        (1_000, "1 kB"),
        (1_500, "1.5 kB"),
        (999_499, "999 kB"),
        (999_500, "1 MB"),
        (16_777_216, "16.8 MB"),
        (2_345_000_000, "2.35 GB"),
        (999_600_000_000, "1 TB"),
        (12_345_000_000_000_000, "12,345 TB"),
    ],
)
def test_a_size_has_the_unit_that_fits(size: int, words: str) -> None:
    assert size_in_words(size) == words


@given(st.integers(1, 10**18))
def test_what_is_said_is_right_to_three_figures(size: int) -> None:
    number, unit = size_in_words(size).split()
    factor = {"B": 1, "kB": 10**3, "MB": 10**6, "GB": 10**9, "TB": 10**12}[unit]
    assert abs(float(number.replace(",", "")) * factor - size) <= 0.006 * size
    assert "e" not in number
