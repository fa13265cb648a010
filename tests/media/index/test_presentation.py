"""The rules of which packets are shown, in numbers alone."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.media.container.packets import NO_STAMP, Mark, Packets
from annotator.media.index.presentation import Coding, begins_unsure, shown

TICK = Fraction(1, 1_000)
PLAIN = Coding(TICK)


def packets(
    stamps: list[int | None], marks: list[int] | None = None, lasting: int = 40, decoded: list[int] | None = None
) -> Packets:
    count = len(stamps)
    return Packets(
        np.array([NO_STAMP if stamp is None else stamp for stamp in stamps], dtype=np.int64),
        np.array(decoded if decoded is not None else range(0, 40 * count, 40), dtype=np.int64),
        np.full(count, lasting, dtype=np.int64),
        np.array(marks if marks is not None else [Mark.KEY] + [0] * (count - 1), dtype=np.uint8),
    )


@given(st.permutations(range(0, 400, 40)))
def test_decoding_order_does_not_matter(stamps: list[int]) -> None:
    got = shown(packets(list(stamps), [Mark.KEY] * 10), Coding(TICK, first=0))
    assert got.stamps.tolist() == list(range(0, 400, 40))
    assert got.end == 400


def test_hidden_frames_are_not_shown() -> None:
    got = shown(packets([-80, -40, 0, 40], [Mark.KEY | Mark.HIDDEN, Mark.HIDDEN, 0, 0]), PLAIN)
    assert (got.stamps.tolist(), got.notes) == ([0, 40], ())


def test_nothing_is_shown_before_the_first_key_frame() -> None:
    got = shown(packets([0, 40, 120, 80, 160], [0, 0, Mark.KEY, 0, 0]), PLAIN)
    assert got.stamps.tolist() == [120, 160]
    assert got.notes == ("It begins in the middle of a group of frames; 3 frames at its start cannot be shown",)


def test_leading_pictures_are_shown_if_they_decode() -> None:
    leading = packets([80, 0, 40, 120])
    assert begins_unsure(leading)
    assert shown(leading, Coding(TICK, first=0)).stamps.tolist() == [0, 40, 80, 120]
    assert shown(leading, Coding(TICK, first=80)).stamps.tolist() == [80, 120]
    assert shown(leading, PLAIN).stamps.tolist() == [80, 120]
    assert not begins_unsure(packets([0, 80, 40]))


def test_without_any_key_frame_all_are_taken() -> None:
    assert shown(packets([0, 40, 80], [0, 0, 0]), PLAIN).stamps.tolist() == [0, 40, 80]


def test_frames_at_the_same_time_count_once() -> None:
    got = shown(packets([0, 40, 40, 80]), PLAIN)
    assert got.stamps.tolist() == [0, 40, 80]
    assert got.notes == ("1 frame at the same time as another, not counted",)


def test_a_missing_stamp_is_no_picture() -> None:
    assert shown(packets([0, None, 40]), PLAIN).stamps.tolist() == [0, 40]
    assert shown(packets([None, None]), PLAIN).stamps.tolist() == []


@pytest.mark.parametrize("delay", [0, 1, 2, 5])
def test_without_stamps_frames_come_out_as_late_as_the_decoder_holds_back(delay: int) -> None:
    got = shown(packets([None, None, 80, None, 160]), Coding(TICK, delay=delay))
    assert got.stamps.tolist() == [0, 40, 80, 120, 160][delay:]


def test_two_fields_are_one_picture() -> None:
    halves = packets([0, 20, 40, 60, 80, 100], [Mark.KEY] * 6, lasting=20)
    got = shown(halves, Coding(TICK, picture=Fraction(40, 1_000)))
    assert (got.stamps.tolist(), got.end) == ([0, 40, 80], 120)


def test_the_second_field_may_have_no_stamp_and_whole_pictures_may_lie_between() -> None:
    mixed = packets([0, None, 40, 80, 100, 120], [Mark.KEY] * 6)
    mixed = Packets(mixed.shown, mixed.decoded, np.array([20, 20, 40, 20, 20, 40]), mixed.marks)
    got = shown(mixed, Coding(TICK, picture=Fraction(40, 1_000)))
    assert got.stamps.tolist() == [0, 40, 80, 120]


def test_a_field_that_is_lost_does_not_put_all_others_out_of_step() -> None:
    halves = packets([0, 20, 40, 80, 100, 120, 140], [Mark.KEY] * 7, lasting=20)
    got = shown(halves, Coding(TICK, picture=Fraction(40, 1_000)))
    assert got.stamps.tolist() == [0, 40, 80, 120]


def test_stamps_that_jump_back_are_said() -> None:
    assert not shown(packets([0, 120, 40, 80]), PLAIN).notes
    (note,) = shown(packets([0, 40, 5_000, 80]), PLAIN).notes
    assert "jump back" in note


def test_damage_is_said() -> None:
    assert shown(packets([0, 40], [Mark.KEY, Mark.DAMAGED]), PLAIN).notes == ("1 frame damaged",)


@pytest.mark.parametrize(("lasting", "end"), [(40, 120), (50, 130), (0, 120), (1, 120)])
def test_the_last_picture_ends_by_its_duration_where_durations_mean_something(lasting: int, end: int) -> None:
    assert shown(packets([0, 40, 80], lasting=lasting), PLAIN).end == end


def test_a_lone_picture() -> None:
    assert shown(packets([0], lasting=1_000), PLAIN).end == 1_000
    assert shown(packets([0], lasting=0), PLAIN).end == 40
