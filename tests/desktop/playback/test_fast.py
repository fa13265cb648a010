"""Played faster than its own speed, a recording shows what a screen can show, and keeps no picture waiting for more."""

from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import QSize
from PySide6.QtMultimedia import QVideoFrame, QVideoFrameFormat, QVideoSink
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from annotator.desktop.playback.qt_player import QtPlayer
from annotator.desktop.window import Window
from annotator.model.case import Tag, with_tags
from annotator.model.edits import Edited
from tests.desktop.conftest import Opener
from tests.desktop.driving import clock_ms, controller_of, picture_number
from tests.desktop.films import film

SPEED = 4
A_SCREEN_HAS = 1_000 / 60
"""Milliseconds from one picture of a screen to the next."""


def test_no_more_pictures_are_shown_than_a_screen_has(opened: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    window = opened(film(tmp_path / "fast.mp4", 600, "60", "-bf", "2", "-g", "60"))
    window.player.set_speed(SPEED)
    seen: list[int] = []
    window.player.shown.connect(lambda _picture, at: seen.append(at))
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda plays: not plays, timeout=30_000):
        window.player.play()
    qtbot.waitUntil(lambda: window.player.is_sharp)
    # What stood there before it played, and where it came to its end, is shown in any case.
    apart = [after - before for before, after in pairwise(seen)][1:-1]
    assert apart
    assert min(apart) >= 0.9 * SPEED * A_SCREEN_HAS - 1
    assert picture_number(window) == 599


def with_frames_tagged(window: Window, first: int, after: int, apart: int) -> str:
    concept = controller_of(window).case.vocabulary.match("core-vitrectomy").iri
    tag = Tag("urn:tag:1", concept, first * apart, after * apart)
    assert controller_of(window).do(lambda case: Edited(with_tags(case, [tag]), "tagged"))
    return tag.id


def test_a_tag_played_fast_still_stops_on_its_last_frame(opened: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    window = opened(film(tmp_path / "tagged.mp4", 100, "25", "-bf", "2", "-g", "50"))
    controller_of(window).select(with_frames_tagged(window, 60, 64, 40))
    window.player.set_speed(SPEED)
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda plays: not plays, timeout=30_000):
        QTest.keySequence(window, "Shift+Space")
    qtbot.waitUntil(lambda: window.player.is_sharp)
    assert (picture_number(window), clock_ms(window)) == (63, 63 * 40)


def frame_at(microseconds: int) -> QVideoFrame:
    frame = QVideoFrame(QVideoFrameFormat(QSize(16, 16), QVideoFrameFormat.PixelFormat.Format_YUV420P))
    frame.setStartTime(microseconds)
    return frame


def test_a_frame_is_overtaken_once_a_later_one_is_there(qapp: QApplication) -> None:
    player = QtPlayer(qapp)
    sink = player.findChild(QVideoSink)
    assert sink is not None
    early, late = frame_at(0), frame_at(16_667)
    sink.setVideoFrame(early)
    assert not player.is_overtaken(early)
    sink.setVideoFrame(late)
    assert player.is_overtaken(early)
    assert not player.is_overtaken(late)
    player.deleteLater()
