"""Playing on begins with exactly the frame on screen, also where the player lands on another one."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from annotator.desktop.playback.frame_numbers import FrameNumber
from annotator.desktop.playback.preroll import Preroll, Verdict
from annotator.desktop.window import Window
from annotator.media.index.reader import read_index
from tests.desktop.conftest import Opener
from tests.desktop.driving import clock_ms, picture_number, seek
from tests.desktop.films import film, kept

FRAMES = 240
TRANSPORT = ("-bf", "2", "-g", "60", "-f", "mpegts")
FILMS = {
    "transport": ("on.ts", "30000/1001", TRANSPORT, None),
    "late transport": ("on-late.ts", "25", (*TRANSPORT, "-output_ts_offset", "7.123"), None),
    "variable": (
        "on-uneven.mp4",
        "60",
        ("-vf", "select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr", "-bf", "2"),
        lambda number: number % 3 == 0 or number % 7 == 1,
    ),
    "one long group": ("on-long-group.mp4", "30", ("-bf", "2", "-g", "300"), None),
}


def played(qtbot: QtBot, window: Window, count: int) -> list[tuple[int, int]]:
    """What the window shows while it plays: frame number in the pixels, and its clock, of so many frames."""
    seen: list[tuple[int, int]] = []

    def look(*_: object) -> bool:
        if not seen or seen[-1][1] != clock_ms(window):
            seen.append((picture_number(window), clock_ms(window)))
        return len(seen) >= count

    with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=20_000):
        window.player.play()
    window.player.pause()
    return seen


@pytest.mark.parametrize("name", FILMS)
def test_it_begins_with_the_frame_on_screen(name: str, films: Path, opened: Opener, qtbot: QtBot) -> None:
    file, rate, args, keep = FILMS[name]
    path = films / file
    if not path.exists():
        film(path, FRAMES, rate, *args, sound=name == "late transport")
    numbers = kept(FRAMES, keep) if keep else list(range(FRAMES))
    times = read_index(path).times.tolist()
    window = opened(path)
    window.player.set_speed(0.5)  # so that every frame is painted and read
    last = len(numbers) - 9
    for first in (1, last // 2, last):
        seek(qtbot, window, times[first])
        assert picture_number(window) == numbers[first]
        seen = played(qtbot, window, 5)
        at = 0 if seen[0][0] == numbers[first] else 1
        expected = list(zip(numbers, times, strict=True))[first + at : first + at + len(seen)]
        assert seen == expected


def test_after_a_pause_no_frame_is_left_out(films: Path, opened: Opener, qtbot: QtBot) -> None:
    path = film(films / "on-pauses.mp4", FRAMES, "30", "-bf", "2", "-g", "120")
    window = opened(path)
    window.player.set_speed(0.5)
    seen = [number for _ in range(4) for number, _ in played(qtbot, window, 5)]
    assert sorted(set(seen)) == list(range(min(seen), max(seen) + 1))
    assert seen == sorted(seen)


def test_a_jump_while_it_plays_goes_on_from_the_frame_asked_for(films: Path, opened: Opener, qtbot: QtBot) -> None:
    path = films / "on-jump.ts"
    film(path, FRAMES, "25", *TRANSPORT)
    window = opened(path)
    window.player.set_speed(0.5)
    played(qtbot, window, 3)
    window.player.play()
    for number in (150, 40, 101):
        at = 40 * number
        seen: list[tuple[int, int]] = []

        def look(_: object, shown: int, at: int = at, seen: list[tuple[int, int]] = seen) -> bool:
            seen += [(picture_number(window), clock_ms(window))] if shown >= at else []
            return bool(seen)

        with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=9_000):
            window.player.seek(at)
        assert seen == [(number, at)]


def test_the_last_group_of_a_transport_stream_plays_to_its_end(films: Path, opened: Opener, qtbot: QtBot) -> None:
    path = films / "on-end.ts"
    film(path, 100, "25", *TRANSPORT)
    window = opened(path)
    seek(qtbot, window, 96 * 40)
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda on: not on, timeout=9_000):
        window.player.play()
    qtbot.waitUntil(lambda: clock_ms(window) == 99 * 40)
    assert picture_number(window) == 99


# --- the reckoning ---------------------------------------------------------------------------------------------


def run(lands: Callable[[int], int], first: int, frames: int, length: int = 40) -> tuple[list[int], int]:
    """What is shown by a player that lands, sent to a time, on the frame that `lands` tells; and how often it is sent.

    Two frames more are on their way whenever it is sent elsewhere.
    """
    run_up, shown, sent = Preroll(), [], 0

    def send(stood: FrameNumber | None) -> int:
        aimed = run_up.aim(FrameNumber(0, first), first * length + length // 2, stood)
        return 0 if aimed is None else lands(aimed)

    at = send(None)
    while at < frames or run_up.due is not None:
        verdict = run_up.take(FrameNumber(0, at)) if at < frames else run_up.end_late()
        if verdict is Verdict.GO_EARLIER:
            sent += 1
            after = send(FrameNumber(0, at))
            assert all(run_up.take(FrameNumber(0, at + late)) is Verdict.PASS_OVER for late in (1, 2) if at < frames)
            at = after
        else:
            shown += [at] if verdict is Verdict.SHOW and at < frames else []
            at += 1
    return shown, sent


@pytest.mark.parametrize("group", [1, 7, 25, 100, 1000])
@pytest.mark.parametrize("first", [0, 1, 24, 25, 26, 99, 140, 149])
def test_any_landing_on_a_key_frame_behind_is_made_good(group: int, first: int) -> None:
    """A player that lands on the next key frame, or past the end, as in transport streams."""
    shown, sent = run(lambda at: (at // 40 // group + 1) * group, first, 150)
    assert shown == list(range(first, 150))
    assert sent <= 6


def test_a_frame_that_is_never_given_is_not_waited_for_for_ever() -> None:
    run_up = Preroll()
    run_up.aim(FrameNumber(0, 50), 2_000, None)
    assert run_up.take(FrameNumber(0, 49)) is Verdict.PASS_OVER
    assert run_up.take(FrameNumber(0, 51)) is Verdict.SHOW
    assert run_up.due is None
