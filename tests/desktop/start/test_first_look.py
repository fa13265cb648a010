"""A recording that takes long to read shows its first picture while it is read."""

import subprocess
from pathlib import Path

import imageio_ffmpeg
from pytestqt.qtbot import QtBot

from annotator.desktop.start.first_look import FirstLook
from annotator.desktop.window import Window
from tests.desktop.films import film, read_number


def looked(qtbot: QtBot, window: Window, path: Path) -> FirstLook:
    look = window.loading.look
    window._pages.setCurrentWidget(window.loading)
    look.begin(path)
    qtbot.waitUntil(look.isVisible, timeout=5_000)
    return look


def test_the_first_picture_is_shown(tmp_path: Path, window: Window, qtbot: QtBot) -> None:
    """Of a film, and of what remains of it when it is cut at its third key frame."""
    whole = film(tmp_path / "whole.mp4", 90, "25", "-sc_threshold", "0", "-g", "30")
    image = looked(qtbot, window, whole).pixmap().toImage()
    assert read_number(image, image.rect()) == 0
    cut = tmp_path / "cut.ts"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-ss", "2.5", "-i", str(whole)]
    subprocess.run([*command, "-c", "copy", str(cut)], check=True)
    image = looked(qtbot, window, cut).pixmap().toImage()
    assert read_number(image, image.rect()) == 60


def test_a_tall_picture_keeps_its_shape_within_the_page(tmp_path: Path, window: Window, qtbot: QtBot) -> None:
    tall = film(tmp_path / "tall.mp4", 10, "25", "-vf", "transpose=1")
    look = looked(qtbot, window, tall)
    size = look.pixmap().deviceIndependentSize()
    assert size.height() <= 360
    assert abs(size.width() / size.height() - 180 / 320) < 0.01


def test_it_goes_with_the_page_and_is_silent_about_what_it_can_not_read(
    ntsc: Path, tmp_path: Path, window: Window, qtbot: QtBot
) -> None:
    look = looked(qtbot, window, ntsc)
    window.close_case()
    assert look.pixmap().isNull()
    words = tmp_path / "words.mp4"
    words.write_text("no recording", encoding="utf-8")
    with qtbot.waitSignal(window.start.fault_shown):
        window.open_paths([words])
    assert not look.isVisible()
