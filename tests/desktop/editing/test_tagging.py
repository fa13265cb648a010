"""The path of one datum: a key goes in, the bytes of a chapter file come out."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.model.case import Case
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import (
    bench_of,
    clock_ms,
    controller_of,
    move,
    picture_number,
    play_until,
    publish,
    seek,
    tag,
)
from tests.desktop.films import exact_ms, film

GOLDEN = Path(__file__).parents[1] / "golden"


def labels(case: Case) -> list[tuple[str, int, int | None]]:
    """The tags of a case as notation, start, end."""
    return [(case.vocabulary.by_iri[one.concept].notation, one.start, one.end) for one in case.tags]


def test_a_case_by_keys_alone(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    """Tagged at known frames; the golden file was worked out by hand: frame n of 30000/1001 starts at
    ceil(n * 1001 / 30) ms, such as frame 10 at 333.67, written 334.
    """
    window = opened(recording)
    for key, frames in (("p", 10), ("c", 30), ("1", 5), ("h", 25), ("Escape", 40)):
        for _ in range(frames):
            move(qtbot, window, ".")
        tag(qtbot, window, key)
    bench = bench_of(window)
    QTest.keySequence(window, "Ctrl+P")
    publish(qtbot, window)
    assert "operation.chapters.vtt" in bench.publish.result.text()
    written = recording.with_name("operation.chapters.vtt").read_bytes()
    assert written == (GOLDEN / "keys.vtt").read_bytes()


def test_tags_land_on_frames_while_it_plays_at_speed(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    window.player.set_speed(2.0)
    frame_times = set(exact_ms(range(150), 30000, 1001))
    keys = iter("pch")

    def tag_now(_picture: object, at: int) -> None:
        if at > 800 * (len(controller_of(window).case.tags) + 1) and (key := next(keys, "")):
            QTest.keySequence(window, key)

    window.player.shown.connect(tag_now)
    with qtbot.waitSignal(window.player.playing_changed, check_params_cb=lambda playing: not playing, timeout=20_000):
        window.player.play()
    window.player.shown.disconnect(tag_now)
    made = labels(controller_of(window).case)
    assert [notation for notation, _, _ in made] == [
        "port-placement",
        "core-vitrectomy",
        "posterior-hyaloid-separation",
    ]
    assert {start for _, start, _ in made} <= frame_times
    assert made[0][2] == made[1][1]
    # Played fast, the last frame may have been left out; then it is decoded by itself.
    qtbot.waitUntil(lambda: clock_ms(window) == max(frame_times))
    assert picture_number(window) == 149


def test_undo_redo_and_what_is_left_on_disk(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "c")
    seek(qtbot, window, 2002)
    tag(qtbot, window, "h")
    before = labels(controller_of(window).case)
    tag(qtbot, window, "Ctrl+Z")
    assert labels(controller_of(window).case) == [("core-vitrectomy", 1001, None)]
    tag(qtbot, window, "Ctrl+Shift+Z")
    assert labels(controller_of(window).case) == before
    window.close_case()
    with Session.open(recording.with_name("model-eye.case.jsonld"), writable=False) as session:
        assert labels(session.case) == before
    opened(recording)
    assert labels(controller_of(window).case) == before


def test_edges_are_set_to_the_shown_frame(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 1001)
    tag(qtbot, window, "c")
    seek(qtbot, window, 2002)
    tag(qtbot, window, "Escape")
    controller_of(window).select(controller_of(window).case.tags[0].id)
    seek(qtbot, window, 501)
    tag(qtbot, window, "[")
    seek(qtbot, window, 2503)
    tag(qtbot, window, "]")
    assert labels(controller_of(window).case) == [("core-vitrectomy", 501, 2503)]
    tag(qtbot, window, "Delete")
    assert labels(controller_of(window).case) == []


def test_a_refused_change_is_said_and_changes_nothing(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    tag(qtbot, window, "c")
    with qtbot.waitSignal(controller_of(window).said) as told:
        QTest.keySequence(window, "Escape")
    assert told.args == [window.status.said, True]
    assert controller_of(window).case.tags[0].is_running
    with qtbot.waitSignal(window.player.shown):
        window.player.seek(1000)
    with qtbot.waitSignal(controller_of(window).said):
        QTest.keySequence(window, "c")
    assert len(controller_of(window).case.tags) == 1


def test_techniques_begin_and_end_by_the_same_row(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    bimanual = controller_of(window).case.vocabulary.match("bimanual").iri
    seek(qtbot, window, 1001)
    controller_of(window).tag(bimanual)
    seek(qtbot, window, 1502)
    controller_of(window).tag(bimanual)
    assert labels(controller_of(window).case) == [("bimanual", 1001, 1502)]


def test_keys_do_nothing_while_a_field_has_the_focus(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    QTest.keySequence(window, "Ctrl+F")
    field = bench_of(window).sheet.field
    qtbot.waitUntil(field.hasFocus)
    QTest.keyClicks(field, "core v")
    assert field.text() == "core v"
    assert controller_of(window).case.tags == ()
    assert "Find step" in window.status.keys_text
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(field, Qt.Key.Key_Return)
    assert labels(controller_of(window).case) == [("core-vitrectomy", 0, None)]
    assert not field.hasFocus()
    assert window.status.keys_text == ""


def test_single_keys_can_be_switched_off(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    QTest.keySequence(window, "Ctrl+Shift+K")
    QTest.keySequence(window, "c")
    assert controller_of(window).case.tags == ()
    assert window.status.keys_text == "Single-key shortcuts are off"
    QTest.keySequence(window, "Ctrl+Shift+K")
    tag(qtbot, window, "c")


def test_playing_by_the_space_key(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    play_until(qtbot, window, 500)
    assert not window.player.is_playing
    assert exact_ms([picture_number(window)], 30000, 1001) == [clock_ms(window)]


def test_several_recordings_play_as_one(ntsc: Path, tmp_path: Path, opened: Opener, qtbot: QtBot) -> None:
    first = film(tmp_path / "first.mp4", 30, "30", "-bf", "2")
    second = tmp_path / "second.mp4"
    second.write_bytes(ntsc.read_bytes())
    window = opened(first, second)
    seek(qtbot, window, 900)
    assert (picture_number(window), clock_ms(window)) == (27, 900)
    for number, at in ((28, 934), (29, 967), (0, 1000), (1, 1034), (2, 1067)):
        move(qtbot, window, ".")
        assert (picture_number(window), clock_ms(window)) == (number, at)
    for number, at in ((1, 1034), (0, 1000), (29, 967)):
        move(qtbot, window, ",")
        assert (picture_number(window), clock_ms(window)) == (number, at)
    play_until(qtbot, window, 1200)
    assert exact_ms([picture_number(window)], 30000, 1001) == [clock_ms(window) - 1000]
