"""Correcting by keys: each verb is one change, said in a line, and undone in one."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.commands.palette import Offer
from annotator.desktop.widgets.form_text import FormText
from annotator.desktop.window import Window
from annotator.model import edits
from annotator.model.case import Case, Tag
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, picture_number, seek, tag
from tests.desktop.editing.test_tagging import labels
from tests.desktop.films import exact_ms

TIMES = [*exact_ms(range(151), 30000, 1001)]
"""Frame n of 30000/1001 starts at ceil(n * 1001 / 30) ms; the last number is the recording's end."""

CORE, HYALOID, BLEEDING = "core-vitrectomy", "posterior-hyaloid-separation", "bleeding"


@pytest.fixture
def window(window: Window, recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy over frames 10 to 40, hyaloid separation from there to 70, a bleeding at 50."""
    opened(recording)
    for frame, key in ((10, "c"), (40, "h"), (50, "1"), (70, "Escape")):
        seek(qtbot, window, TIMES[frame])
        tag(qtbot, window, key)
    return window


def frames_of(window: Window) -> list[tuple[str, int, int | None]]:
    found = labels(controller_of(window).case)
    return [(name, TIMES.index(start), None if end is None else TIMES.index(end)) for name, start, end in found]


def choose(window: Window, notation: str) -> Tag:
    case: Case = controller_of(window).case
    found = next(one for one in case.tags if case.vocabulary.by_iri[one.concept].notation == notation)
    controller_of(window).select(found.id)
    return found


def test_a_shared_edge_moves_by_one_frame_and_the_picture_with_it(window: Window, qtbot: QtBot) -> None:
    choose(window, HYALOID)
    for key, frame in (("Alt+Left", 39), ("Alt+Left", 38), ("Alt+Right", 39)):
        move(qtbot, window, key)
        assert frames_of(window) == [(CORE, 10, frame), (HYALOID, frame, 70), (BLEEDING, 50, 50)]
        assert picture_number(window) == frame
    assert window.status.said == "Posterior hyaloid separation starts at 00:00:01.302, beside Core vitrectomy"
    tag(qtbot, window, "Ctrl+Z")
    assert frames_of(window)[0] == (CORE, 10, 38)


def test_going_from_edge_to_edge_selects_the_tag_to_be_corrected(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, 0)
    controller_of(window).select(None)
    selected = []
    for _ in range(5):
        move(qtbot, window, "Down")
        chosen = controller_of(window).selected
        selected.append(chosen and controller_of(window).case.vocabulary.by_iri[chosen.concept].notation)
    assert selected == [CORE, HYALOID, BLEEDING, HYALOID, HYALOID], "past the last tag the selection stays"
    for _ in range(3):
        move(qtbot, window, "Up")
    move(qtbot, window, ",")
    tag(qtbot, window, "[")
    assert frames_of(window) == [(CORE, 10, 39), (HYALOID, 39, 70), (BLEEDING, 50, 50)]


def test_undo_and_redo_say_what_they_are_about(window: Window, qtbot: QtBot) -> None:
    undo, redo = (window.commands.actions[does] for does in ("undo", "redo"))
    assert undo.text() == "Undo: Posterior hyaloid separation ends at 00:00:02.336"
    assert undo.toolTip() == "Undo: Posterior hyaloid separation ends at 00:00:02.336 (Ctrl+Z)"
    assert redo.text() == "Redo"
    tag(qtbot, window, "Ctrl+Z")
    assert undo.text() == "Undo: Bleeding at 00:00:01.669"
    assert redo.text() == "Redo: Posterior hyaloid separation ends at 00:00:02.336"
    controller_of(window).rename("A & <b>B</b>")
    assert undo.text() == "Undo: The case is called “A && <b>B</b>”"
    assert undo.toolTip() == "<qt>Undo: The case is called “A &amp; &lt;b&gt;B&lt;/b&gt;” (Ctrl+Z)</qt>"
    assert Offer.of(undo).text == "Undo: The case is called “A & <b>B</b>”"
    controller_of(window).rename("very long " * 20)
    assert len(undo.text()) <= len("Undo: ") + 60
    window.close_case()
    assert (undo.text(), redo.text()) == ("Undo", "Redo")


def test_a_free_edge_and_a_moment_move_by_one_frame(window: Window, qtbot: QtBot) -> None:
    choose(window, HYALOID)
    move(qtbot, window, "Alt+Shift+Right")
    assert frames_of(window)[1] == (HYALOID, 40, 71)
    choose(window, BLEEDING)
    move(qtbot, window, "Alt+Right")
    move(qtbot, window, "Alt+Shift+Right")
    assert frames_of(window)[2] == (BLEEDING, 52, 52)


def test_an_end_reaches_the_end_of_the_case_and_comes_back(window: Window, qtbot: QtBot) -> None:
    chosen = choose(window, HYALOID)
    end = controller_of(window).case.duration
    controller_of(window).move_selected("end", end)
    tag(qtbot, window, "Alt+Shift+Left")
    assert controller_of(window).case.tag(chosen.id).end == TIMES[149]
    tag(qtbot, window, "Alt+Shift+Right")
    assert controller_of(window).case.tag(chosen.id).end == end
    QTest.keySequence(window, "Alt+Shift+Right")
    assert controller_of(window).case.tag(chosen.id).end == end


def test_a_running_tag_has_no_end_to_move(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, TIMES[80])
    tag(qtbot, window, "b")
    QTest.keySequence(window, "Alt+Shift+Right")
    assert window.status.said == "Base shaving is still running and has no end to move"


def test_split_and_join_again(window: Window, qtbot: QtBot) -> None:
    choose(window, CORE)
    before = frames_of(window)
    seek(qtbot, window, TIMES[20])
    tag(qtbot, window, "Ctrl+B")
    assert frames_of(window)[:2] == [(CORE, 10, 20), (CORE, 20, 40)]
    tag(qtbot, window, "Ctrl+J")
    assert frames_of(window) == before
    QTest.keySequence(window, "Ctrl+J")
    assert window.status.said == "No Core vitrectomy follows that this one could join"


def test_another_step_is_chosen_by_name(window: Window, qtbot: QtBot) -> None:
    choose(window, CORE)
    QTest.keySequence(window, "Ctrl+L")
    qtbot.waitUntil(window.command_palette.isVisible)
    QTest.keyClicks(window.command_palette.field, "base")
    with qtbot.waitSignal(controller_of(window).changed):
        QTest.keyClick(window.command_palette.field, Qt.Key.Key_Return)
    assert frames_of(window)[0] == ("base-shaving", 10, 40)
    assert window.status.said == "Core vitrectomy becomes Base shaving"


def test_the_step_before_is_repeated(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, TIMES[90])
    tag(qtbot, window, "Ctrl+R")
    assert frames_of(window)[-1] == (HYALOID, 90, None)
    seek(qtbot, window, TIMES[100])
    tag(qtbot, window, "b")
    seek(qtbot, window, TIMES[110])
    tag(qtbot, window, "Ctrl+R")
    assert frames_of(window)[-2:] == [("base-shaving", 100, 110), (HYALOID, 110, None)]


def test_from_gap_to_gap(window: Window, qtbot: QtBot) -> None:
    seek(qtbot, window, TIMES[20])
    move(qtbot, window, "Ctrl+Down")
    assert picture_number(window) == 70
    QTest.keySequence(window, "Ctrl+Down")
    assert window.status.said == "There is no gap after this frame"
    move(qtbot, window, "Ctrl+Up")
    assert picture_number(window) == 0


def test_proposed_tags_are_found_and_confirmed(window: Window, qtbot: QtBot) -> None:
    controller = controller_of(window)
    proposed = [one for one in controller.case.tags if one.start >= TIMES[40]]
    controller.do(lambda case: edits.describe(case, [one.id for one in proposed], confirmed=False))
    seek(qtbot, window, 0)
    controller.select(None)
    for one in proposed:
        move(qtbot, window, "Ctrl+U")
        assert (controller.selected, picture_number(window)) == (controller.case.tag(one.id), TIMES.index(one.start))
        tag(qtbot, window, "Ctrl+Return")
        assert controller.case.tag(one.id).confirmed
    QTest.keySequence(window, "Ctrl+U")
    assert window.status.said == "Every tag is confirmed"
    tag(qtbot, window, "Ctrl+Z")
    assert not controller.case.tag(proposed[-1].id).confirmed


def test_proposed_tags_are_gone_through_backwards_too(window: Window, qtbot: QtBot) -> None:
    controller = controller_of(window)
    proposed = [one for one in controller.case.tags if one.start >= TIMES[40]]
    assert len(proposed) > 1
    controller.do(lambda case: edits.describe(case, [one.id for one in proposed], confirmed=False))
    seek(qtbot, window, TIMES[-1])
    controller.select(None)
    for one in (*reversed(proposed), proposed[-1]):
        move(qtbot, window, "Ctrl+Shift+U")
        assert (controller.selected, picture_number(window)) == (controller.case.tag(one.id), TIMES.index(one.start))


def test_shuttle(window: Window, qtbot: QtBot) -> None:
    player, top = window.player, bench_of(window).top
    seek(qtbot, window, TIMES[60])
    for speed in (1.0, 1.5):
        QTest.keySequence(window, "L")
        assert (player.is_playing, player.is_reversed, player.speed) == (True, False, speed)
    for speed in (1.0, 1.5, 2.0):
        QTest.keySequence(window, "J")
        assert (player.is_playing, player.is_reversed, player.speed) == (True, True, speed)
    assert top.speed_text == "back × 2"
    QTest.keySequence(window, "L")
    assert (player.is_playing, player.is_reversed, player.speed) == (True, False, 1.5)
    for key in ("J", "Space", "K"):
        QTest.keySequence(window, key)
    assert not player.is_playing
    assert top.speed_text == "× 1.5"


def test_keys_correct_nothing_while_a_note_is_typed(window: Window, qtbot: QtBot) -> None:
    chosen = choose(window, CORE)
    before = replace(controller_of(window).case)
    note = next(iter(window.findChildren(FormText)))
    note.setFocus()
    for key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
        QTest.keyClick(note, key, Qt.KeyboardModifier.AltModifier)
    assert controller_of(window).case.tag(chosen.id) == before.tag(chosen.id)


def test_a_note_being_typed_stays_with_its_tag(window: Window, qtbot: QtBot) -> None:
    core = choose(window, CORE)
    note = next(iter(window.findChildren(FormText)))
    note.setFocus()
    QTest.keyClicks(note, "calm")
    hyaloid = choose(window, HYALOID)
    case = controller_of(window).case
    assert (case.tag(core.id).note, case.tag(hyaloid.id).note, note.toPlainText()) == ("calm", "", "")
