"""Clips of recordings of every kind: the very frames that were asked for, told by the number on each picture."""

from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest

from annotator.errors import MediaError
from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import FrameReader
from annotator.media.probe import probe
from annotator.media.survey import survey
from annotator.media.write.clip import cut_exactly
from annotator.media.write.copied_clip import copy_from_key_frame, starts_early
from annotator.media.write.piece import Piece
from tests.media.films import FILMS, TURNED, make, read_number
from tests.media.films import Film as Recipe

Film = Callable[[str], Path]

FIRST, STOP = 7, 13
"""The frames of each clip: not from a key frame on, with pictures within that others are decoded from."""

X264 = ("-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "12", "-sc_threshold", "0")

UPRIGHT = [name for name in FILMS if not name.startswith(TURNED)]

UNCOPIED = {"trimmed.mp4", "trimmed.mov"}
"""What cannot be copied so that it begins where it was said: they hold pictures before the first shown one."""


def piece_of(path: Path, first: int = FIRST, stop: int = STOP) -> Piece:
    source = survey(path)
    return Piece(source, int(source.frames.times[first]), int(source.frames.times[stop]))


def numbers_in(path: Path) -> list[int]:
    """Decoded by the library alone, in the order in which they are shown."""
    with av.open(str(path)) as container:
        return [read_number(frame.to_ndarray(format="rgb24").astype(np.uint8)) for frame in container.decode(video=0)]


@pytest.mark.parametrize("name", UPRIGHT)
def test_an_exact_clip_holds_exactly_the_frames(name: str, film: Film, tmp_path: Path) -> None:
    path = film(name)
    out = tmp_path / "clip.mp4"
    assert cut_exactly([piece_of(path)], out) == ()
    assert numbers_in(out) == FILMS[name].numbers[FIRST:STOP]
    source, clip = read_index(path).times[FIRST:STOP], read_index(out).times
    assert abs((source - source[0]) - (clip - clip[0])).max() <= 1
    assert list(tmp_path.iterdir()) == [out]


@pytest.mark.parametrize("args", [("-video_track_timescale", "30"), ("-c:a", "aac"), ("-c:a", "libopus")], ids=str)
@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
def test_ticks_as_long_as_a_frame_and_sound_that_begins_before_zero(
    args: tuple[str, ...], ending: str, tmp_path: Path
) -> None:
    """Encoders of sound prime themselves for longer than a frame of 1/60 s lasts."""
    rate = "30" if args[0] == "-video_track_timescale" else "60"
    made = Recipe((*X264, *args), rate, 60, sound=True)
    path = make(made, tmp_path / f"film{ending}")
    for first in range(20, 26):
        out = tmp_path / "clip.mp4"
        cut_exactly([piece_of(path, first, first + 5)], out)
        assert numbers_in(out) == list(range(first, first + 5))
        copied = tmp_path / f"copied{ending}"
        early = copy_from_key_frame(piece_of(path, first, first + 5), copied)
        begins = int(np.searchsorted(read_index(path).times, piece_of(path, first).start - early))
        assert numbers_in(copied)[0] == begins == first // 12 * 12


@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
@pytest.mark.parametrize("to", [".mp4", ".webm"])
def test_where_the_sound_does_not_reach_there_is_a_clip_without(ending: str, to: str, tmp_path: Path) -> None:
    """A microphone switched off half-way."""
    path = make(
        Recipe((*X264, "-af", "atrim=end=0.5", "-c:a", "aac"), "30", 60, sound=True), tmp_path / f"film{ending}"
    )
    out = tmp_path / f"clip{to}"
    (said,) = cut_exactly([piece_of(path, 40, 45)], out)
    assert "so the clip has none" in said
    assert numbers_in(out) == list(range(40, 45))
    assert cut_exactly([piece_of(path, 5, 10)], out) == ()
    with av.open(str(out)) as container:
        assert len(container.streams.audio) == 1


@pytest.mark.parametrize("name", [*(name for name in FILMS if name.startswith(TURNED)), "anamorphic.mp4", "narrow.mkv"])
def test_it_stands_upright_and_in_its_shape(name: str, film: Film, tmp_path: Path) -> None:
    path = film(name)
    out = tmp_path / "clip.mp4"
    piece = piece_of(path)
    cut_exactly([piece], out)
    facts = probe(out)
    assert facts.rotation == 0
    assert facts.display_aspect == pytest.approx(probe(path).display_aspect, rel=0.02)
    with FrameReader(path) as before, FrameReader(out) as after:
        for at in range(STOP - FIRST):
            here = before.at(int(read_index(path).times[FIRST + at]))
            there = after.at(int(read_index(out).times[at]))
            high, wide = (min(one, other) for one, other in zip(here.shape[:2], there.shape[:2], strict=True))
            assert np.abs(here[:high, :wide].astype(int) - there[:high, :wide]).mean() < 12


@pytest.mark.parametrize("name", UPRIGHT)
def test_a_copied_clip_begins_with_the_frame_that_was_said(name: str, film: Film, tmp_path: Path) -> None:
    path, numbers = film(name), FILMS[name].numbers
    out = tmp_path / f"clip{path.suffix if path.suffix in ('.mp4', '.mov', '.webm') else '.mkv'}"
    piece = piece_of(path)
    if name in UNCOPIED:
        with pytest.raises(MediaError, match="re-encode the clip instead"):
            copy_from_key_frame(piece, out)
        assert list(tmp_path.iterdir()) == []
        return
    said = starts_early(piece)
    assert copy_from_key_frame(piece, out) == said
    first = int(np.searchsorted(read_index(path).times, piece.start - said))
    assert numbers_in(out)[: STOP - first] == numbers[first:STOP]


def test_sound_in_a_form_that_is_not_known_is_left_out_and_said(film: Film, tmp_path: Path) -> None:
    path = tmp_path / "odd.mp4"
    path.write_bytes(film("h264_b.mp4").read_bytes().replace(b"mp4a", b"odd!").replace(b"esds", b"odds"))
    piece = piece_of(path)
    assert cut_exactly([piece], tmp_path / "clip.mp4") == piece.source.unheard
    assert piece.source.unheard == ("the sound of “odd.mp4” cannot be decoded, so the clip has none",)
    assert numbers_in(tmp_path / "clip.mp4") == list(range(FIRST, STOP))
    copy_from_key_frame(piece, tmp_path / "copy.mp4")
    assert numbers_in(tmp_path / "copy.mp4")[FIRST:STOP] == list(range(FIRST, STOP))
