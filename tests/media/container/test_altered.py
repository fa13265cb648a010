"""What a container says of a recording that does not run as it was taken; boxes are made by hand after the standard.

ISO/IEC 14496-12: 8.3.2 track header, 8.6.6 edit list (segment duration, media time, rate as 16.16 fixed point).
"""

import struct
from fractions import Fraction
from pathlib import Path

import pytest

from annotator.media.container.altered import alterations
from annotator.model.recording import Altered

RATE = "com.android.capture.fps"


def box(kind: bytes, *content: bytes) -> bytes:
    inside = b"".join(content)
    return struct.pack(">I", 8 + len(inside)) + kind + inside


def movie(path: Path, *edits: tuple[int, int, float]) -> Path:
    """A movie of one track, number 1, with an edit list and no pictures."""
    rows = b"".join(struct.pack(">IiI", length, start, int(rate * 0x1_0000)) for length, start, rate in edits)
    edit_list = box(b"elst", struct.pack(">II", 0, len(edits)), rows)
    header = box(b"tkhd", struct.pack(">IIIII", 0, 0, 0, 1, 0))
    path.write_bytes(box(b"ftyp", b"isom") + box(b"moov", box(b"trak", header, box(b"edts", edit_list))))
    return path


@pytest.mark.parametrize(
    ("edits", "expected"),
    [
        ([(900, 0, 1)], ()),
        ([(100, -1, 1), (900, 0, 1)], ()),
        ([(900, 0, 1), (900, 5_000, 1)], (Altered.CUT,)),
        ([(900, 0, 2)], (Altered.SPED_UP,)),
        ([(900, 0, 0.5)], (Altered.SLOWED,)),
        ([(900, 0, 1), (100, 900, 0.25)], (Altered.CUT, Altered.SLOWED)),
        ([(900, 0, 0)], ()),
    ],
    ids=[
        "one edit",
        "a pause before it",
        "two pieces",
        "twice as fast",
        "half as fast",
        "slow at the end",
        "held still",
    ],
)
def test_an_edit_list(tmp_path: Path, edits: list[tuple[int, int, float]], expected: tuple[Altered, ...]) -> None:
    assert alterations(movie(tmp_path / "a.mp4", *edits), 1, {}, Fraction(30), Fraction(30)) == expected


@pytest.mark.parametrize(
    ("said", "shown_at", "expected"),
    [
        ({RATE: "240.000000"}, Fraction(30), (Altered.SLOWED,)),
        ({RATE: "1"}, Fraction(30), (Altered.SPED_UP,)),
        ({RATE: "30.0"}, Fraction(30_000, 1001), ()),
        ({RATE: "240"}, None, (Altered.SLOWED,)),
        ({RATE: "1"}, None, (Altered.SPED_UP,)),
        ({RATE: "55"}, None, ()),
        ({RATE: "fast"}, Fraction(30), ()),
        ({RATE: "nan"}, Fraction(30), ()),
        ({}, Fraction(30), ()),
    ],
)
def test_the_rate_at_which_pictures_were_taken(
    tmp_path: Path, said: dict[str, str], shown_at: Fraction | None, expected: tuple[Altered, ...]
) -> None:
    assert alterations(tmp_path / "not there.mp4", 1, said, shown_at, Fraction(30)) == expected


def test_what_is_no_movie_says_nothing(tmp_path: Path) -> None:
    path = tmp_path / "a.mkv"
    path.write_bytes(b"\x1aE\xdf\xa3" + bytes(100))
    assert alterations(path, 1, {}, None, Fraction(30)) == ()
