"""One tag is played, once or over and over: exactly its frames, and no others."""

from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Case, Tag, with_tags
from annotator.model.edits import Edited
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, clock_ms, controller_of, picture_number, seek
from tests.desktop.films import film

FRAMES, APART = 100, 40
"""Frames of the film, and ms from one to the next: 25 a second."""

KINDS = {"mp4": ("loop.mp4", ("-bf", "2", "-g", "50")), "ts": ("loop.ts", ("-bf", "2", "-g", "50", "-f", "mpegts"))}


@pytest.fixture(scope="session", params=KINDS)
def path(request: pytest.FixtureRequest, films: Path) -> Path:
    name, args = KINDS[request.param]
    return film(films / name, FRAMES, "25", *args)


@pytest.fixture
def filmed(opened: Opener, path: Path, tmp_path: Path) -> Window:
    copy = tmp_path / path.name
    copy.write_bytes(path.read_bytes())
    made = opened(copy)
    made.player.set_speed(0.5)  # so that every frame is painted and read
    return made


def tagged(window: Window, first: int, after: int | None, name: str = "core-vitrectomy") -> str:
    """The id of a new tag from one frame up to another."""
    controller = controller_of(window)
    concept = controller.case.vocabulary.match(name).iri
    new = Tag(f"urn:tag:{name}", concept, APART * first, None if after is None else APART * after)

    def edit(case: Case) -> Edited:
        return Edited(with_tags(case, [new]), "tagged")

    assert controller.do(edit)
    return new.id


def seen_while(qtbot: QtBot, window: Window, count: int, key: str) -> list[int]:
    """Press a key; the number of the frame on screen, and of those that follow it until they are so many."""
    seen = [picture_number(window)]

    def look(*_: object) -> bool:
        number = picture_number(window)
        assert clock_ms(window) == APART * number
        if seen[-1] != number:
            seen.append(number)
        return len(seen) >= count

    with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=30_000):
        QTest.keySequence(window, key)
    return seen


def test_the_frames_of_the_tag_and_no_others_are_played_over_and_over(filmed: Window, qtbot: QtBot) -> None:
    controller_of(filmed).select(tagged(filmed, 30, 34))
    seen = seen_while(qtbot, filmed, 12, "Alt+L")
    assert set(seen[1:]) == {30, 31, 32, 33}
    assert seen.count(30) >= 2
    assert bench_of(filmed).loop.interval == (1_200, 1_360)
    assert filmed.commands.actions["toggle_loop"].isChecked()


def test_playing_the_selected_tag_stops_on_its_last_frame(filmed: Window, qtbot: QtBot) -> None:
    controller_of(filmed).select(tagged(filmed, 60, 64))
    seen = seen_while(qtbot, filmed, 5, "Shift+Space")
    assert seen == [0, 60, 61, 62, 63]
    qtbot.waitUntil(lambda: not filmed.player.is_playing)
    qtbot.waitUntil(lambda: filmed.player.is_sharp)
    assert picture_number(filmed) == 63
    assert clock_ms(filmed) == 63 * APART
    assert seen_while(qtbot, filmed, 3, "Space") == [63, 64, 65]  # on past its end, as it is left now
    filmed.player.pause()


def test_without_a_selected_tag_it_is_the_step_under_the_playhead(filmed: Window, qtbot: QtBot) -> None:
    tagged(filmed, 96, FRAMES)  # up to the end of the recording
    seek(qtbot, filmed, 98 * APART)
    seen = seen_while(qtbot, filmed, 6, "Alt+L")
    assert seen[:3] == [98, 99, 96]
    assert set(seen) == {96, 97, 98, 99}
    filmed.player.pause()


def looped(qtbot: QtBot, window: Window) -> None:
    """Frames 30 to 49, over and over."""
    controller_of(window).select(tagged(window, 30, 50))
    seen_while(qtbot, window, 2, "Alt+L")
    assert bench_of(window).loop.interval is not None


def is_off(window: Window) -> bool:
    loop = bench_of(window).loop
    return loop.interval is None and not window.commands.actions["toggle_loop"].isChecked()


def test_it_ends_where_something_else_is_looked_at(filmed: Window, qtbot: QtBot) -> None:
    looped(qtbot, filmed)
    seek(qtbot, filmed, 40 * APART)
    assert not is_off(filmed)
    filmed.player.seek(70 * APART)
    assert is_off(filmed)
    QTest.keySequence(filmed, "Alt+L")  # from the start of the selected tag
    assert not is_off(filmed)
    filmed.player.play_backwards()
    assert is_off(filmed)
    QTest.keySequence(filmed, "Alt+L")
    controller_of(filmed).select(tagged(filmed, 60, 62, "port-placement"))
    assert is_off(filmed)
    filmed.player.pause()


def test_switched_off_it_plays_on_past_the_end(filmed: Window, qtbot: QtBot) -> None:
    looped(qtbot, filmed)
    QTest.keySequence(filmed, "Alt+L")
    assert is_off(filmed)
    assert filmed.player.is_playing

    def past(_picture: object, at: int) -> bool:
        return at >= 52 * APART

    with qtbot.waitSignal(filmed.player.shown, check_params_cb=past, timeout=20_000):
        pass
    filmed.player.pause()


def test_it_follows_the_edges_of_the_tag_and_ends_with_it(filmed: Window, qtbot: QtBot) -> None:
    looped(qtbot, filmed)
    controller = controller_of(filmed)
    assert controller.do(lambda case: edits.move_boundary(case, "urn:tag:core-vitrectomy", "end", 35 * APART))
    assert bench_of(filmed).loop.interval == (30 * APART, 35 * APART)
    controller.remove_selected()
    assert is_off(filmed)
    filmed.player.pause()


def test_what_has_no_end_is_not_looped_and_that_is_said(filmed: Window, qtbot: QtBot) -> None:
    controller_of(filmed).select(tagged(filmed, 10, None))
    QTest.keySequence(filmed, "Alt+L")
    assert is_off(filmed)
    assert not filmed.player.is_playing
    assert "has no end yet" in filmed.status.said
    controller_of(filmed).select(tagged(filmed, 20, 20, "port-placement"))
    QTest.keySequence(filmed, "Alt+L")
    assert "is a moment" in filmed.status.said


def test_it_goes_over_the_border_of_two_recordings_and_back(
    films: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    """The second recording counts its frames from 0 again."""
    for name, group in (("a.mp4", "25"), ("b.mp4", "10")):
        film(tmp_path / name, 25, "25", "-bf", "2", "-g", group)
    window = opened(tmp_path / "a.mp4", tmp_path / "b.mp4")
    window.player.set_speed(0.5)
    controller_of(window).select(tagged(window, 23, 28))
    seen: list[int] = []

    def look(_picture: object, at: int) -> bool:
        number = picture_number(window)
        assert at == APART * (number if number > 20 else number + 25)
        if not seen or seen[-1] != number:
            seen.append(number)
        return len(seen) >= 8

    with qtbot.waitSignal(window.player.shown, check_params_cb=look, timeout=30_000):
        QTest.keySequence(window, "Alt+L")
    assert seen[:7] == [23, 24, 0, 1, 2, 23, 24]
    window.player.pause()
