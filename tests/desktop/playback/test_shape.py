"""Rotated and anamorphic recordings stand upright and in their right shape."""

import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest
from pytestqt.qtbot import QtBot

from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, move, picture_number, seek
from tests.desktop.films import BITS, exact_ms, film


def test_pixels_that_are_not_square_are_widened(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(film(tmp_path / "wide.mp4", 60, "25", "-vf", "setsar=3/2", "-bf", "2"))
    area = bench_of(window).picture.picture_area()
    assert area.width() / area.height() == pytest.approx(320 * 3 / 2 / 180, rel=0.01)
    seek(qtbot, window, 800)
    assert (picture_number(window), clock_ms(window)) == (20, 800)


@pytest.mark.parametrize(("turned", "top_is"), [(90, "last"), (270, "first")])
def test_a_turned_recording_stands_as_players_show_it(
    turned: int, top_is: str, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    """`-display_rotation` counts against the clock: 90 puts the right edge of the stored picture on top."""
    flat = film(tmp_path / "flat.mp4", 60, "30000/1001", "-bf", "2")
    path = tmp_path / "turned.mp4"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-display_rotation", str(turned), "-i", str(flat)]
    subprocess.run([*command, "-c", "copy", str(path)], check=True)
    window = opened(path)
    picture = bench_of(window).picture
    picture.shows_caption = False
    for step in range(3):
        image, area = picture.grab().toImage(), picture.picture_area()
        assert area.width() < area.height()
        bars = []
        for bit in range(BITS):
            y = area.top() + round((bit + 0.5) * area.height() / BITS)
            x = area.left() + round(area.width() * (0.25 if top_is == "last" else 0.75))
            bars.append(image.pixelColor(x, y).lightness() > 128)
        number = sum(bar << bit for bit, bar in enumerate(reversed(bars) if top_is == "last" else bars))
        assert number == step
        assert [clock_ms(window)] == exact_ms([step], 30000, 1001)
        move(qtbot, window, ".")
