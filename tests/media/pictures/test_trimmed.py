"""Where a copy begins is found in values alone, and nothing is found where there is nothing."""

import numpy as np
import pytest

from annotator.media.pictures.trimmed import trimmed_by

EVERY = 10
WHOLE = np.random.default_rng(7).random(6_000)
"""A minute."""


@pytest.mark.parametrize("start", [0, 1, 1_234, 4_999])
def test_a_stretch_is_found_where_it_was_taken(start: int) -> None:
    noise = np.random.default_rng(8).random(1_000) / 10
    copy = 0.5 * WHOLE[start : start + 1_000] + noise + 3
    assert trimmed_by(WHOLE, copy, EVERY) == start * EVERY
    assert trimmed_by(copy, WHOLE, EVERY) == -start * EVERY


def test_a_copy_may_reach_a_little_beyond() -> None:
    late = np.concatenate((WHOLE[5_500:], np.zeros(50)))
    assert trimmed_by(WHOLE, late, EVERY) == 55_000
    early = np.concatenate((np.zeros(50), WHOLE[:500]))
    assert trimmed_by(WHOLE, early, EVERY) == -500


@pytest.mark.parametrize(
    ("long", "short"),
    [
        (WHOLE, np.random.default_rng(9).random(1_000)),
        (WHOLE, np.zeros(1_000)),
        (np.ones(6_000), WHOLE[:1_000]),
        (np.zeros(6_000), np.zeros(6_000)),
        (WHOLE, WHOLE[:400]),  # too short to tell
        (WHOLE, np.zeros(0)),
        (np.zeros(0), np.zeros(0)),
    ],
)
def test_nothing_alike_is_nowhere(long: np.ndarray, short: np.ndarray) -> None:
    assert trimmed_by(long, short, EVERY) is None
