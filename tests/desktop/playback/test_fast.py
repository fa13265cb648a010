"""Played faster than its own speed, a recording shows what a screen can show, and keeps no picture waiting for more."""

from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest
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


def test_no_more_pictures_are_shown_than_a_screen_has(opened: Opener, tmp_path: Path, qtbot: QtBot) -> None:
    window = opened(film(tmp_path / "fast.mp4", 600, "60", "-bf", "2", "-g", "60"))
    window.player.set_speed(SPEED)
    seen: list[int] = []
    window.player.shown.connect(lambda _picture, at: seen.append(at))
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda plays: not plays, timeout=30_000):
        window.player.play()
    qtbot.waitUntil(lambda: window.player.is_sharp)
    assert seen == sorted(set(seen))
    # As it looks every 16 ms, and shows in any case what stood there before it played and where it came to its end.
    assert 3 < len(seen) <= 600 / 60 / SPEED * 1_000 / 16 + 3
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


@pytest.fixture
def sink(qapp: QApplication) -> Iterator[tuple[QtPlayer, QVideoSink]]:
    """A player that believes that it has a recording, and where frames are put for it."""
    player = QtPlayer(qapp)
    player.is_loaded = True
    sink = player.findChild(QVideoSink)
    assert sink is not None
    yield player, sink
    player.deleteLater()


def test_of_frames_that_come_while_the_window_is_busy_only_the_newest_is_given(
    sink: tuple[QtPlayer, QVideoSink], qtbot: QtBot
) -> None:
    player, frames = sink
    given: list[int] = []
    told: list[int] = []
    player.gave.connect(lambda frame: given.append(frame.startTime()))
    frames.videoFrameChanged.connect(lambda frame: told.append(frame.startTime()))
    player.give_newest()
    for number in range(240):
        frames.setVideoFrame(frame_at(number))
    with qtbot.waitSignal(player.gave):
        pass
    assert given == [239]
    assert not told  # no frame waits to be told of


def test_a_frame_that_waits_to_be_told_of_is_not_given_after_a_later_one(
    sink: tuple[QtPlayer, QVideoSink], qtbot: QtBot
) -> None:
    player, frames = sink
    given: list[int] = []
    player.gave.connect(lambda frame: given.append(frame.startTime()))

    def tell() -> None:
        for number in range(3):
            frames.setVideoFrame(frame_at(number))

    teller = Thread(target=tell)
    teller.start()
    teller.join()
    player.give_newest()
    with qtbot.waitSignal(player.gave):
        pass
    assert given == [2]


def test_no_frame_falls_between_the_newest_and_each_one(sink: tuple[QtPlayer, QVideoSink], qtbot: QtBot) -> None:
    player, frames = sink
    given: list[int] = []
    player.gave.connect(lambda frame: given.append(frame.startTime()))
    assert player.give_each() is None  # as each was given
    player.give_newest()
    frames.setVideoFrame(frame_at(1))
    newest = player.give_each()
    assert newest is not None
    assert newest.startTime() == 1
    frames.setVideoFrame(frame_at(2))
    frames.setVideoFrame(frame_at(3))
    assert given == [2, 3]


def test_paused_it_plays_on_from_the_frame_on_screen_though_later_ones_were_there(
    opened: Opener, films: Path, qtbot: QtBot
) -> None:
    window = opened(film(films / "fast-pauses.mp4", 300, "30", "-bf", "2", "-g", "60"))
    for _ in range(3):
        window.player.set_speed(SPEED)
        window.player.play()
        with qtbot.waitSignals([window.player.shown] * 5):
            pass
        window.player.pause()
        qtbot.waitUntil(lambda: window.player.is_sharp)
        stood = picture_number(window)
        window.player.set_speed(0.5)
        seen: list[int] = []

        def look(_picture: object, _at: int, seen: list[int] = seen) -> bool:
            seen.append(picture_number(window))
            return len(set(seen)) > 2

        with qtbot.waitSignal(window.player.shown, check_params_cb=look):
            window.player.play()
        window.player.pause()
        qtbot.waitUntil(lambda: window.player.is_sharp)
        assert sorted(set(seen) - {stood})[:2] == [stood + 1, stood + 2]
