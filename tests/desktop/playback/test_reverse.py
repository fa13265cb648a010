"""Playing backwards: falling frames, each with its own time, told by the bar codes on screen."""

from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from annotator.media.write.review_copy import write_review_copy
from tests.desktop.conftest import Opener
from tests.desktop.driving import clock_ms, picture_number, seek
from tests.desktop.films import exact_ms, film

FRAMES = 120
FILMS = {
    "one group": ("back.mp4", "30000/1001", ("-bf", "2", "-g", "120")),
    "transport": ("back.ts", "25", ("-bf", "2", "-g", "25")),
    "variable": ("uneven.mp4", "60", ("-vf", "setpts='PTS+mod(N,3)*0.005/TB'", "-fps_mode", "vfr", "-bf", "2")),
}


def played(qtbot: QtBot, window: Window, until: int) -> list[tuple[int, int]]:
    """Number in the pixels and clock of every frame shown while it plays backwards, up to one at or before `until`."""
    seen: list[tuple[int, int]] = []

    def look(*_: object) -> bool:
        seen.append((picture_number(window), clock_ms(window)))
        return seen[-1][1] <= until

    with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=20_000):
        QTest.keySequence(window, "J")
    return seen


@pytest.mark.parametrize("with_copy", [False, True], ids=["without a copy", "with a copy"])
@pytest.mark.parametrize("name", FILMS)
def test_frames_fall_and_keep_their_times(
    name: str, with_copy: bool, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    file, rate, args = FILMS[name]
    path = film(tmp_path / file, FRAMES, rate, *args)
    times = read_index(path).times.tolist()
    window = opened(path)
    if with_copy:
        window.player.use_copy(0, write_review_copy(path, read_index(path), tmp_path / "copy"))
    seek(qtbot, window, times[90])
    seen = played(qtbot, window, times[60])
    assert [times[number] for number, _ in seen] == [time for _, time in seen]
    numbers = [number for number, _ in seen]
    assert all(after < before for before, after in pairwise([90, *numbers]))
    assert numbers[0] == 89
    QTest.keySequence(window, "K")
    assert not window.player.is_playing
    at = clock_ms(window)
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    assert (clock_ms(window), picture_number(window)) == (at, times.index(at))


def test_it_stops_at_the_start(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(ntsc)
    times = exact_ms(range(150), 30000, 1001)
    seek(qtbot, window, times[12])
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda on: not on, timeout=10_000):
        played(qtbot, window, times[1])
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    assert (picture_number(window), clock_ms(window)) == (0, 0)


def test_over_a_border_and_on_forwards(tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    first = film(tmp_path / "first.mp4", 50, "25", "-bf", "2")
    second = film(tmp_path / "second.mkv", 50, "50", "-bf", "2")
    window = opened(first, second)
    seek(qtbot, window, 2_000 + 200)
    seen = played(qtbot, window, 1_800)
    assert all(after < before for (_, before), (_, after) in pairwise(seen))
    assert {time: number for number, time in seen} == {
        time: (time - 2_000) // 20 if time >= 2_000 else time // 40 for _, time in seen
    }
    window.player.set_speed(0.5)
    here = clock_ms(window)
    on: list[tuple[int, int]] = []

    def three(*_: object) -> bool:
        on.append((picture_number(window), clock_ms(window)))
        return len({time for _, time in on}) >= 3

    with qtbot.waitSignal(window.player.shown, check_params_cb=three, timeout=10_000):
        QTest.keySequence(window, "L")
    assert not window.player.is_reversed
    times = sorted({time for _, time in on})
    assert times == [times[0] + 40 * step for step in range(3)]
    assert times[0] in (here - 40, here, here + 40)
    assert all(number == time // 40 for number, time in on)


def test_faster_leaves_frames_out_and_a_tag_falls_on_the_frame_shown(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(ntsc)
    times = exact_ms(range(150), 30000, 1001)
    seek(qtbot, window, times[140])
    for _ in range(4):
        QTest.keySequence(window, "J")
    assert window.player.speed == 4
    seen = played(qtbot, window, times[40])
    assert [times[number] for number, _ in seen] == [time for _, time in seen]
    assert len(seen) < 100
    QTest.keySequence(window, ",")
    assert not window.player.is_playing


def test_the_speed_forwards_stays_as_it_was(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(ntsc)
    player = window.player
    player.set_speed(2)
    seek(qtbot, window, 3_000)
    speeds: list[float] = []
    player.speed_changed.connect(speeds.append)
    player.play_backwards()
    player.set_speed(1.5)
    player.play()
    assert speeds == [-1, -1.5, 2]
    assert (player.speed, player.is_reversed) == (2, False)


def test_a_jump_while_it_plays_backwards_goes_on_from_there(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    """Each jump comes while frames from before it are due."""
    window = opened(ntsc)
    times = exact_ms(range(150), 30000, 1001)
    seek(qtbot, window, times[120])
    played(qtbot, window, times[115])
    for number in (140, 60, 100, 30, 90):
        window.player.seek(times[number])
        seen: list[int] = []

        def look(*_: object, since: list[int] = seen) -> bool:
            since.append(picture_number(window))
            return len(since) == 3

        with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=20_000):
            pass
        assert seen[0] == number - 1
        assert all(after < before for before, after in pairwise([number, *seen]))
    assert window.player.is_reversed


@pytest.mark.parametrize("goes", [-1, 1], ids=["backwards when it jumps", "backwards after the jump"])
@pytest.mark.parametrize("number", [0, 77])
def test_who_jumps_and_stops_at_once_stands_where_the_jump_led(
    number: int, goes: int, ntsc: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(ntsc)
    times = exact_ms(range(150), 30000, 1001)
    seek(qtbot, window, times[120])
    played(qtbot, window, times[115])
    if goes > 0:
        QTest.keySequence(window, "K")
    window.player.seek(times[number])
    if goes > 0:
        QTest.keySequence(window, "J")
    window.player.pause()
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    assert not window.player.is_playing
    assert (picture_number(window), clock_ms(window)) == (number, times[number])


def test_backwards_from_the_first_frame_stands_still(ntsc: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(ntsc)
    QTest.keySequence(window, "J")
    assert not window.player.is_playing
    qtbot.waitUntil(lambda: window.player.is_sharp, timeout=5_000)
    assert (picture_number(window), clock_ms(window)) == (0, 0)
