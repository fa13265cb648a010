"""A range of the case's time, cut at the borders of its recordings, against a count of milliseconds."""

from hypothesis import given
from hypothesis import strategies as st

from annotator.model.case import Case
from annotator.model.pieces import Piece, pieces
from annotator.model.recording import Recording
from tests.strategies import VOCABULARY


def over(*lengths: int) -> Case:
    recordings = tuple(Recording(f"urn:r:{number}", "", "", length) for number, length in enumerate(lengths))
    return Case("urn:c", "", VOCABULARY, recordings)


def test_a_range_within_one_recording_is_one_piece() -> None:
    assert list(pieces(over(10, 20), 12, 15)) == [Piece(1, 2, 5)]


def test_a_range_over_a_border_is_cut_there() -> None:
    assert list(pieces(over(10, 20, 5), 8, 33)) == [Piece(0, 8, 10), Piece(1, 0, 20), Piece(2, 0, 3)]


def test_a_range_that_ends_at_a_border_has_no_piece_behind_it() -> None:
    assert list(pieces(over(10, 20), 8, 10)) == [Piece(0, 8, 10)]


def test_a_moment_at_a_border_is_of_the_later_recording() -> None:
    assert list(pieces(over(10, 20), 10, 10)) == [Piece(1, 0, 0)]


def test_what_runs_is_open_in_the_last_recording_alone() -> None:
    assert list(pieces(over(10, 20), 8, None)) == [Piece(0, 8, 10), Piece(1, 0, None)]
    assert list(pieces(over(10, 20), 40, None)) == [Piece(1, 30, None)]


def test_what_lies_past_the_end_is_of_the_last_recording() -> None:
    assert list(pieces(over(10, 20), 28, 40)) == [Piece(1, 18, 30)]
    assert list(pieces(over(10, 20), 35, 40)) == [Piece(1, 25, 30)]


def test_an_empty_recording_has_no_piece() -> None:
    assert list(pieces(over(10, 0, 20), 8, 15)) == [Piece(0, 8, 10), Piece(2, 0, 5)]


def test_a_case_without_recordings_has_none() -> None:
    assert list(pieces(over(), 0, 10)) == []


@given(st.lists(st.integers(0, 8), min_size=1, max_size=4), st.integers(0, 30), st.integers(0, 12))
def test_the_pieces_cover_the_range_once_and_nothing_else(lengths: list[int], start: int, length: int) -> None:
    case = over(*lengths)
    found = list(pieces(case, start, start + length))
    covered = [
        case.borders[piece.recording] + at
        for piece in found
        if piece.end is not None
        for at in range(piece.start, piece.end)
    ]
    assert covered == list(range(start, start + length))
    assert found
    for piece in found[:-1]:
        assert piece.end is not None
        assert 0 <= piece.start < piece.end <= lengths[piece.recording]
