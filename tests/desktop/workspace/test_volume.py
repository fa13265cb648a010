"""How loud it plays: by slider, by key, and the next time."""

from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.playback.qt_player import QtPlayer
from annotator.desktop.window import Window
from tests.desktop.conftest import Again, Opener
from tests.desktop.driving import bench_of
from tests.desktop.films import film


@pytest.fixture
def told(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The volumes that Qt's player is told: a machine of tests has no sound to listen to."""
    volumes: list[float] = []
    monkeypatch.setattr(QtPlayer, "set_volume", lambda _self, volume: volumes.append(volume))
    return volumes


def test_slider_and_keys_move_it_and_muting_gives_it_back(opened: Opener, recording: Path, told: list[float]) -> None:
    window = opened(recording)
    volume = bench_of(window).volume
    assert told == [1.0]
    volume.slider.setValue(60)
    QTest.keySequence(window, "Alt+Down")
    assert window.status.said == "Volume 50 %"
    QTest.keySequence(window, "Alt+M")
    assert window.commands.actions["toggle_mute"].isChecked()
    QTest.keySequence(window, "Alt+M")
    assert told == [1.0, 0.6, 0.5, 0, 0.5]
    QTest.keySequence(window, "Alt+M")
    QTest.keySequence(window, "Alt+Up")
    assert not window.commands.actions["toggle_mute"].isChecked()
    assert told[-2:] == [0, 0.6]


def test_it_is_remembered(opened: Opener, recording: Path, again: Again, told: list[float], qtbot: QtBot) -> None:
    window = opened(recording)
    bench_of(window).volume.slider.setValue(30)
    QTest.keySequence(window, "Alt+M")
    later = again()
    with qtbot.waitSignal(later.player.shown, timeout=20_000):
        later.open_paths([recording])
    assert bench_of(later).volume.slider.value() == 30
    assert later.commands.actions["toggle_mute"].isChecked()
    assert told[-1] == 0


def test_where_there_is_no_sound_it_is_off(opened: Opener, tmp_path: Path) -> None:
    window = opened(film(tmp_path / "silent.mp4", 10, "25"))
    assert not bench_of(window).volume.slider.isEnabled()
    for does in ("toggle_mute", "louder", "quieter"):
        assert not window.commands.actions[does].isEnabled()


def test_every_volume_that_can_be_kept_is_within_bounds(window: Window) -> None:
    for kept in ("101", "-1", "loud", ""):
        window.preferences.settings.setValue("volume", kept)
        assert window.preferences.volume == 100
        assert "volume" in window.preferences.damaged()
