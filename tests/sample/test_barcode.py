"""A frame's number can be read back from its pixels."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sample_media.render.barcode import NUMBERS, Bytes, draw, read_frame_number


def grey(width: int = 320, height: int = 180) -> Bytes:
    return np.full((height, width, 3), 90, np.uint8)


@given(st.integers(0, NUMBERS - 1), st.integers(64, 700), st.integers(48, 400))
def test_any_number_at_any_size(number: int, width: int, height: int) -> None:
    frame = grey(width, height)
    draw(frame, number)
    assert read_frame_number(frame) == number
    assert read_frame_number(np.ascontiguousarray(frame[..., 1])) == number


@given(st.integers(0, NUMBERS - 1), st.integers(0, 2**32 - 1))
def test_it_bears_noise_and_flat_levels(number: int, seed: int) -> None:
    frame = grey()
    draw(frame, number)
    noisy = frame * 0.6 + 40 + np.random.default_rng(seed).normal(0, 12, frame.shape)
    assert read_frame_number(np.clip(noisy, 0, 255).astype(np.uint8)) == number


def test_a_picture_without_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="no frame number"):
        read_frame_number(grey())


def test_a_damaged_number_is_refused() -> None:
    frame = grey()
    draw(frame, 1234)
    frame[-6:, 10 * 9 : 10 * 10] = 255 - frame[-6:, 10 * 9 : 10 * 10]
    with pytest.raises(ValueError, match="cannot be read for sure"):
        read_frame_number(frame)
