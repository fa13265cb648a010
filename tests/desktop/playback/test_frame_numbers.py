"""Frames by number over the recordings of a case, against plain lists of exact times."""

from fractions import Fraction
from math import ceil, floor

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from annotator.desktop.playback.frame_numbers import FrameNumber, FrameNumbers, Told
from annotator.media.index.frame_index import FrameIndex
from annotator.model.case import Case
from annotator.model.recording import Recording
from annotator.model.vocabulary import Vocabulary
from annotator.workflow.frames import CaseFrames

NOTHING = Vocabulary("https://example.org/v", "v", "1", {"en": "V"}, (), ())


@st.composite
def exact_times(draw: st.DrawFn) -> list[Fraction]:
    """Seconds at which frames start: a constant rate, or distances that vary; at least 2 ms apart."""
    count = draw(st.integers(1, 40))
    start = draw(st.sampled_from([Fraction(0), Fraction(1, 30), Fraction(7123, 1000)]))
    rates = st.sampled_from([Fraction(1001, 30000), Fraction(1001, 60000), Fraction(1, 24), Fraction(1, 25)])
    rate = draw(rates)
    gaps = draw(st.lists(st.integers(1, 4), min_size=count, max_size=count))
    varies = draw(st.booleans())
    times = [start]
    for gap in gaps[1:]:
        times.append(times[-1] + rate * (gap if varies else 1))
    return times


def places_over(*recordings: list[Fraction]) -> tuple[FrameNumbers, list[list[int]]]:
    """FrameNumbers over recordings, and the case time of each of their frames."""
    indexes, lists, parts, border = {}, [], [], 0
    for number, exact in enumerate(recordings):
        times = [ceil(one * 1000) for one in exact]
        end = times[-1] + 40
        indexes[number] = FrameIndex(np.array(times), end)
        lists.append([border + time for time in times])
        parts.append(Recording(f"urn:{number}", f"{number}.mp4", "f", end))
        border += end
    case = Case("urn:case", "t", NOTHING, tuple(parts))
    return FrameNumbers(case, CaseFrames(case, indexes)), lists


@given(exact_times())
def test_a_players_time_finds_its_frame(exact: list[Fraction]) -> None:
    """A player gives the exact time cut to whole microseconds."""
    places, _ = places_over(exact)
    for number, time in enumerate(exact):
        assert places.nearest(0, floor(time * 1_000_000)) == Told(FrameNumber(0, number), 0)


@given(st.integers(1, 30), st.sampled_from([24, 25, 50, 60]), st.integers(0, 99))
def test_a_player_that_counts_from_the_sound_is_understood(lead: int, rate: int, number: int) -> None:
    exact = [Fraction(frame, rate) for frame in range(100)]
    index = FrameIndex(np.array([ceil(one * 1000) for one in exact]), 5_000, sound_lead=lead)
    case = Case("urn:case", "t", NOTHING, (Recording("urn:0", "0.mkv", "f", 5_000),))
    places = FrameNumbers(case, CaseFrames(case, {0: index}))
    told = places.nearest(0, floor((exact[number] + Fraction(lead, 1000)) * 1_000_000))
    assert told is not None
    # Where the lead is a whole number of frames, the one time may mean either frame.
    assert told == Told(FrameNumber(0, number), lead) or lead * rate % 1000 in (*range(60), *range(940, 1000))


@given(exact_times(), exact_times())
def test_steps_go_over_the_border_and_back(first: list[Fraction], second: list[Fraction]) -> None:
    places, lists = places_over(first, second)
    all_places = [FrameNumber(number, frame) for number, times in enumerate(lists) for frame in range(len(times))]
    place = all_places[0]
    for following in all_places[1:]:
        assert places.neighbour(following, -1) == place
        place = places.neighbour(place, 1)
        assert place == following
    assert places.neighbour(place, 1) == place
    assert places.is_end(place)
    assert [places.time(one) for one in all_places] == [time for times in lists for time in times]


@given(exact_times(), st.integers(-1000, 20_000))
def test_the_frame_at_a_time_is_the_last_that_has_begun(exact: list[Fraction], at: int) -> None:
    places, lists = places_over(exact)
    begun = [number for number, time in enumerate(lists[0]) if time <= at]
    assert places.at(at) == FrameNumber(0, begun[-1] if begun else 0)


def test_a_recording_that_is_absent_stops_the_steps() -> None:
    places, lists = places_over([Fraction(0), Fraction(1, 25)])
    case = Case("urn:case", "t", NOTHING, (Recording("a", "a", "f", 80), Recording("b", "b", "f", 80)))
    places = FrameNumbers(case, CaseFrames(case, {0: FrameIndex(np.array(lists[0]), 80)}))
    assert places.neighbour(FrameNumber(0, 1), 1) == FrameNumber(0, 1)
    assert places.at(100) is None
    assert places.nearest(1, 0) is None
