"""The frames of a case over several recordings: each time goes to the frame of the recording that it falls into."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.media.index.frame_index import FrameIndex
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.workflow.frames import CaseFrames
from tests.strategies import VOCABULARY


def over(*lengths: int) -> Case:
    recordings = tuple(Recording(f"urn:r:{number}", f"{number}.mp4", "", one) for number, one in enumerate(lengths))
    return Case("urn:c", "", VOCABULARY, recordings)


def index(*times: int, end: int) -> FrameIndex:
    return FrameIndex(np.array(times), end)


# Two recordings of 100 ms: one at 25 frames a second, one whose frames stand unevenly.
CASE = over(100, 100)
EVEN, UNEVEN = index(0, 40, 80, end=100), index(0, 10, 90, end=100)
FRAMES = CaseFrames(CASE, {0: EVEN, 1: UNEVEN})


@pytest.mark.parametrize(
    ("at", "boundary"),
    [
        *((0, 0), (20, 0), (21, 40), (89, 80), (90, 80), (91, 100), (99, 100)),
        *((100, 100), (105, 100), (106, 110), (150, 110), (151, 190), (195, 190), (196, 200), (200, 200), (1_000, 200)),
    ],
)
def test_a_time_goes_to_the_nearest_boundary_of_its_own_recording(at: int, boundary: int) -> None:
    """Halfway between two the earlier counts; the border of two recordings is the later one's first frame."""
    assert FRAMES.nearest(at) == boundary


@pytest.mark.parametrize(("at", "length"), [(0, 40), (39, 40), (80, 20), (99, 20), (100, 10), (110, 80), (190, 10)])
def test_a_frame_lasts_until_the_next_of_its_recording_or_the_end(at: int, length: int) -> None:
    assert FRAMES.frame_length(at) == length
    assert type(FRAMES.frame_length(at)) is int


def test_where_a_recording_is_absent_times_stay_as_they_are() -> None:
    frames = CaseFrames(CASE, {1: UNEVEN})
    assert [frames.has(0), frames.has(1), frames.has(2)] == [False, True, False]
    assert (frames.index(0), frames.index(1)) == (None, UNEVEN)
    assert [frames.nearest(at) for at in (21, 99, 104)] == [21, 99, 100]
    assert [frames.frame_length(at) for at in (21, 99, 104)] == [0, 0, 10]


@st.composite
def indexes(draw: st.DrawFn) -> FrameIndex:
    times = sorted(draw(st.sets(st.integers(1, 500), max_size=6)) | {0})
    return index(*times, end=times[-1] + draw(st.integers(1, 50)))


@given(st.lists(indexes(), min_size=1, max_size=4), st.data())
def test_every_time_goes_to_a_boundary_that_stays_where_it_is(read: list[FrameIndex], data: st.DataObject) -> None:
    case = over(*(one.end for one in read))
    frames = CaseFrames(case, dict(enumerate(read)))
    borders = case.borders
    boundaries = {
        start + time for start, one in zip(borders, read, strict=False) for time in [*map(int, one.times), one.end]
    }
    at = data.draw(st.integers(0, case.duration))
    assert frames.nearest(at) in boundaries
    assert frames.nearest(frames.nearest(at)) == frames.nearest(at)
    assert abs(frames.nearest(at) - at) == min(abs(one - at) for one in boundaries)
    assert frames.frame_length(at) > 0
