"""A recording that is decoded beside the player is held open while pictures of it are wanted, and no longer."""

import sys
from contextlib import suppress
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, QTimer
from pytestqt.qtbot import QtBot

from annotator.desktop.playback import held_reader
from annotator.desktop.playback.decoder import FrameDecoder
from annotator.desktop.playback.held_reader import HeldReader
from annotator.desktop.window import Window
from annotator.errors import MediaError
from tests.desktop.conftest import Opener
from tests.desktop.films import film


@pytest.fixture
def path(films: Path) -> Path:
    return film(films / "held.mp4", 60, "30", "-g", "30")


@pytest.fixture
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(held_reader, "_IDLE", 0)


def closes(held: HeldReader) -> QTimer:
    timer = held.findChild(QTimer)
    assert timer is not None
    return timer


def times_open(path: Path) -> int:
    """How often this process has a file open."""
    count = 0
    for one in Path("/proc/self/fd").iterdir():
        with suppress(FileNotFoundError):  # closed meanwhile
            count += one.readlink() == path.resolve()
    return count


def test_the_same_recording_is_opened_once_while_pictures_are_wanted(path: Path, qapp: QObject) -> None:
    held = HeldReader(qapp)
    held.use()
    first = held.of(path, None)
    assert held.of(path, None) is first
    held.rest()
    assert closes(held).isActive()
    held.use()
    assert not closes(held).isActive()
    assert held.of(path, None) is first
    held.close()


def test_one_that_cannot_be_opened_is_not_held_and_the_next_is(path: Path, tmp_path: Path, qapp: QObject) -> None:
    held = HeldReader(qapp)
    held.of(path, None)
    with pytest.raises(MediaError):
        held.of(tmp_path / "none.mp4", None)
    held.rest()
    assert not closes(held).isActive()
    assert held.of(path, None).at(0).shape[2] == 3
    held.close()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux lists what is open")
@pytest.mark.usefixtures("soon")
def test_it_is_closed_once_no_picture_is_wanted_and_opened_again_for_the_next(path: Path, qtbot: QtBot) -> None:
    parent = QObject()
    decoder = FrameDecoder(parent)
    for at in (0, 500):
        with qtbot.waitSignal(decoder.ready):
            decoder.decode(at, path, at)
        qtbot.waitUntil(lambda: not times_open(path))
    decoder.close()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux lists what is open")
@pytest.mark.usefixtures("soon")
def test_played_backwards_and_paused_it_holds_the_recording_only_in_the_player(
    path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window: Window = opened(path)
    qtbot.waitUntil(lambda: times_open(path) == 1)
    window.player.seek(1_900)
    qtbot.waitUntil(lambda: window.player.is_sharp)
    with qtbot.waitSignals([window.player.shown] * 5):
        window.player.play_backwards()
    window.player.pause()
    qtbot.waitUntil(lambda: window.player.is_sharp and times_open(path) == 1)
