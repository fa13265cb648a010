"""Decoding all of a recording: which pictures are lost, told by those that were destroyed."""

from pathlib import Path

import pytest

from annotator.errors import Cancelled
from annotator.media.index.reader import read_index
from annotator.media.index.whole_decode import Damaged, decode_whole
from tests.media.damage import zeroed
from tests.media.films import FILMS, Films


@pytest.mark.parametrize("name", FILMS)
def test_a_whole_recording_decodes_whole(name: str, film: Films) -> None:
    path = film(name)
    index = read_index(path)
    assert decode_whole(path, index) == (len(index), 0, 0, ())


@pytest.mark.parametrize("name", ["every_key.mp4", "every_key.mkv"])
def test_what_was_destroyed_is_lost(name: str, film: Films, tmp_path: Path) -> None:
    path = zeroed(film(name), tmp_path, [7, 8, 20, 44])
    index = read_index(path)
    times = [*index.times.tolist(), index.end]
    assert index.notes == ()
    assert decode_whole(path, index) == (
        45,
        4,
        0,
        tuple(Damaged(times[first], times[stop], stop - first) for first, stop in ((7, 9), (20, 21), (44, 45))),
    )


def test_more_in_a_row_than_playing_has_patience_for(film: Films, tmp_path: Path) -> None:
    path = zeroed(film("hours.mkv"), tmp_path, range(1, 239))
    found = decode_whole(path, read_index(path))
    assert found.lost + found.broken >= 230
    assert found.ranges[-1].end <= read_index(path).end


def test_a_picture_that_is_half_there_is_marked(film: Films, tmp_path: Path) -> None:
    raw = bytearray(film("h264.mp4").read_bytes())
    half = zeroed(film("h264.mp4"), tmp_path, [24]).read_bytes()
    changed = [at for at, (one, other) in enumerate(zip(raw, half, strict=True)) if one != other]
    middle = changed[len(changed) // 2]
    raw[middle : changed[-1]] = bytes(changed[-1] - middle)
    path = tmp_path / "half.mp4"
    path.write_bytes(raw)
    found = decode_whole(path, read_index(path))
    assert found.lost + found.broken >= 1
    assert found.ranges[0].start == read_index(path).times[24]


def test_it_can_be_stopped(film: Films) -> None:
    told: list[float] = []

    def stop(done: float, total: float) -> None:
        told.append(done / total)
        if len(told) == 2:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        decode_whole(film("h264.mkv"), read_index(film("h264.mkv")), stop)
    assert 0 <= told[0] <= told[1] < 1
