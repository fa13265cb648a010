"""The states that are drawn: nothing open, unreadable, missing, read only, recovered, without sound, without tags."""

from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.window import Window
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, picture_number, publish, seek, tag
from tests.desktop.films import film


def case_of(recording: Path) -> Path:
    return recording.with_name(f"{recording.stem}.case.jsonld")


def test_nothing_is_open_at_first(window: Window) -> None:
    assert window.start.isVisible()
    assert window.bench is None
    usable = {does for does, action in window.commands.actions.items() if action.isEnabled()}
    assert {"open_recordings", "open_case", "open_sample", "find_command"} <= usable
    assert not usable & {"undo", "toggle_play", "show_publish", "end_running"}


@pytest.mark.parametrize("name", ["notes.mp4", "nothing-here.mp4", "empty.mkv", "case.jsonld"])
def test_what_can_not_be_read_is_said_on_the_start_screen(
    name: str, tmp_path: Path, window: Window, qtbot: QtBot
) -> None:
    path = tmp_path / name
    if not name.startswith("nothing"):
        path.write_text("" if name.startswith("empty") else "only words\n" * 100, encoding="utf-8")
    window.open_paths([path])
    qtbot.waitUntil(window.start.isVisible, timeout=10_000)
    assert name in window.start.fault.text()
    assert sorted(one.name for one in tmp_path.iterdir() if one.is_file() and "case" in one.name) == (
        [name] if "case" in name else []
    )


def test_a_new_case_says_how_to_begin(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    assert bench_of(window).record_page.empty_hint.isVisible()
    tag(qtbot, window, "c")
    assert not bench_of(window).record_page.empty_hint.isVisible()


def test_a_case_that_is_open_elsewhere_can_be_looked_at(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    with Session.open(case_of(recording)):
        opened(case_of(recording))
        assert "Open elsewhere" in bench_of(window).notices.texts[0]
        QTest.keySequence(window, "h")
        assert len(controller_of(window).case.tags) == 1
        assert not window.commands.actions["undo"].isEnabled()
        seek(qtbot, window, 1001)
        assert picture_number(window) == 30
        publish(qtbot, window)
        assert bench_of(window).publish.result.text().startswith("Published")
        window.close_case()


def test_without_its_recording_a_case_still_works(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    recording.unlink()
    opened(case_of(recording))
    assert any("was not found" in text for text in bench_of(window).notices.texts)
    assert "is not where it was" in bench_of(window).picture.words
    seek(qtbot, window, 2000)
    tag(qtbot, window, "h")
    assert [one.start for one in controller_of(window).case.tags] == [0, 2000]
    assert not window.commands.actions["toggle_play"].isEnabled()


def test_a_recording_without_sound_is_said(tmp_path: Path, opened: Opener) -> None:
    window = opened(film(tmp_path / "mute.mp4", 30, "25"))
    assert "This recording has no sound." in bench_of(window).notices.texts


def test_a_form_that_the_player_has_no_decoder_for_is_said_and_steps_work(
    tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    """AV1, which Qt's own player shows only with the help of a graphics card that knows it."""
    window = opened(film(tmp_path / "av1.mp4", 40, "25", "-c:v", "libsvtav1", "-preset", "12"))
    seek(qtbot, window, 400)
    assert picture_number(window) == 10
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda playing: not playing, timeout=10_000):
        QTest.keySequence(window, "Space")
    if window.player.shows_frames:
        pytest.skip("this machine's graphics card decodes AV1")
    assert any("no decoder" in text for text in bench_of(window).notices.texts)
    seek(qtbot, window, 800)
    assert (picture_number(window), window.player.at) == (20, 800)


def test_sound_is_nothing_to_speak_of(recording: Path, opened: Opener) -> None:
    assert bench_of(opened(recording)).notices.texts == []


def test_opening_the_recording_again_goes_on_with_its_case(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    window.close_case()
    assert window.start.isVisible()
    opened(recording)
    assert len(controller_of(window).case.tags) == 1


def test_work_is_found_again_after_an_interruption(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """What lies on disk while a case is open is what a sudden end leaves there."""
    window = opened(recording)
    tag(qtbot, window, "c")
    left = recording.parent / "after"
    left.mkdir()
    for file in recording.parent.iterdir():
        if file.is_file() and not file.name.endswith((".lock", ".holder")):
            (left / file.name).write_bytes(file.read_bytes())
    opened(left / case_of(recording).name)
    assert any("interruption" in text for text in bench_of(window).notices.texts)
    assert len(controller_of(window).case.tags) == 1


def test_opening_can_be_cancelled(recording: Path, window: Window, qtbot: QtBot) -> None:
    window.open_paths([recording])
    window.loading.cancelled.emit()
    qtbot.waitUntil(lambda: window.start.isVisible() or window.bench is not None, timeout=10_000)


def test_the_window_can_be_closed_while_it_plays(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    with qtbot.waitSignal(window.player.playing_changed):
        QTest.keySequence(window, "Space")
    assert window.close()
    with Session.open(case_of(recording)) as session:
        assert not session.read_only
