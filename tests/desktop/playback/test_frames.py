"""Picture and clock agree, and a step is one frame: read back from the pixels that the window paints."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import Opener
from tests.desktop.driving import clock_ms, move, picture_number, seek
from tests.desktop.films import exact_ms, film, kept

FILMS = {
    "ntsc": ("broadcast.mp4", "30000/1001", ("-bf", "3", "-g", "60"), None, (30000, 1001)),
    "ntsc60": ("ntsc60.mov", "60000/1001", ("-bf", "2", "-g", "300"), None, (60000, 1001)),
    "film": ("film.mp4", "24000/1001", ("-bf", "2"), None, (24000, 1001)),
    "variable": (
        "variable.mp4",
        "60",
        ("-vf", "select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr", "-bf", "2"),
        lambda number: number % 3 == 0 or number % 7 == 1,
        (60, 1),
    ),
    # Sound whose packets begin before zero, from where Qt's player counts in Matroska.
    "primed": ("primed.mkv", "50", ("-bf", "2"), None, (50, 1)),
    "late mp4": ("late.mp4", "30000/1001", ("-bf", "2", "-output_ts_offset", "7.123"), None, (30000, 1001)),
    "late ts": ("late.ts", "30000/1001", ("-bf", "2", "-g", "30", "-output_ts_offset", "7.123"), None, (30000, 1001)),
}


@pytest.mark.parametrize("name", FILMS)
def test_a_step_is_one_frame_and_the_clock_is_the_pictures(
    name: str, films: Path, opened: Opener, qtbot: QtBot
) -> None:
    file, rate, args, keep, (numerator, denominator) = FILMS[name]
    path = films / file
    if not path.exists():
        film(path, 180, rate, *args, sound=name == "primed")
    numbers = kept(180, keep) if keep else list(range(180))
    times = exact_ms(numbers, numerator, denominator)
    window = opened(path)
    assert (picture_number(window), clock_ms(window)) == (0, 0)
    for start in (0, len(numbers) // 2, len(numbers) - 13):
        here = start
        seek(qtbot, window, times[start])
        for by in [1] * 12 + [-1] * 12:
            assert (picture_number(window), clock_ms(window)) == (numbers[here], times[here])
            move(qtbot, window, "." if by > 0 else ",")
            here += by
