"""After a click or a word typed the keys are the window's again."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.form_text import FormText
from annotator.desktop.window import Window
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, move, seek, tag


@pytest.fixture
def tagged(opened: Opener, recording: Path, qtbot: QtBot) -> Window:
    """Core vitrectomy from 1 s to 2 s, hyaloid from there on; the first frame on screen."""
    window = opened(recording)
    for at, key in ((1_000, "c"), (2_000, "h")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    move(qtbot, window, "Home")
    return window


def test_a_click_in_the_record_leaves_the_arrows_to_the_picture(tagged: Window, qtbot: QtBot) -> None:
    record = bench_of(tagged).record
    line = record.visualRect(record.record.index(1)).center()
    QTest.mouseClick(record.viewport(), Qt.MouseButton.LeftButton, pos=line)
    chosen = controller_of(tagged).selected
    assert chosen is not None
    move(qtbot, tagged, "Return")
    assert tagged.player.at == chosen.start
    move(qtbot, tagged, "Up")
    edges = {edge for tag in controller_of(tagged).case.tags for edge in (tag.start, tag.end) if edge}
    assert tagged.player.at == min(edges)
    selected = controller_of(tagged).selected
    assert selected is not None
    assert tagged.player.at in (selected.start, selected.end), "an edge gone to can be corrected at once"


def test_return_takes_a_title_and_gives_the_keys_back(tagged: Window, qtbot: QtBot) -> None:
    title = bench_of(tagged).top.title
    title.setFocus()
    title.selectAll()
    QTest.keyClicks(title, "Wet lab")
    QTest.keyClick(title, Qt.Key.Key_Return)
    assert controller_of(tagged).case.title == "Wet lab"
    assert tagged.windowTitle().startswith("Wet lab")
    assert not title.hasFocus()
    move(qtbot, tagged, ".")


@pytest.mark.parametrize("typed", ["Another", ""])
def test_escape_brings_the_old_title_back(tagged: Window, qtbot: QtBot, typed: str) -> None:
    title = bench_of(tagged).top.title
    before = controller_of(tagged).case.title
    title.setFocus()
    title.selectAll()
    QTest.keyClick(title, Qt.Key.Key_Delete)
    QTest.keyClicks(title, typed)
    QTest.keyClick(title, Qt.Key.Key_Escape)
    assert (controller_of(tagged).case.title, title.text()) == (before, before)
    assert not title.hasFocus()


def test_a_case_keeps_its_title_where_none_is_typed(tagged: Window) -> None:
    title = bench_of(tagged).top.title
    before = controller_of(tagged).case.title
    title.setFocus()
    title.selectAll()
    QTest.keyClick(title, Qt.Key.Key_Delete)
    bench_of(tagged).picture.setFocus()
    assert (controller_of(tagged).case.title, title.text()) == (before, before)


def test_a_key_puts_the_look_under_the_pointer_away(tagged: Window, qtbot: QtBot) -> None:
    timeline, preview = bench_of(tagged).timeline, bench_of(tagged).preview
    over = QPoint(round(timeline.scale.x(3_000)), round(timeline.middle_of("thumbnails")))
    QTest.mouseMove(timeline, over)
    qtbot.waitUntil(preview.isVisible)
    move(qtbot, tagged, ".")
    assert not preview.isVisible()
    QTest.mouseMove(timeline, over + QPoint(4, 0))
    qtbot.waitUntil(preview.isVisible)
    tag(qtbot, tagged, "1")
    assert not preview.isVisible()


@pytest.mark.parametrize("place", ["timeline", "record", "sheet", "chart"])
def test_a_click_elsewhere_ends_typing_and_keeps_what_was_typed(tagged: Window, place: str) -> None:
    bench = bench_of(tagged)
    first = controller_of(tagged).case.tags[0]
    controller_of(tagged).select(first.id)
    note = bench.record_page.tag_panel.findChildren(FormText)[-1]
    note.setFocus()
    QTest.keyClicks(note, "seen late")
    elsewhere = {
        "timeline": bench.timeline,
        "record": bench.record.viewport(),
        "sheet": bench.sheet.view.viewport(),
        "chart": bench.record_page.place_panel.chart.viewport(),
    }[place]
    QTest.mouseClick(elsewhere, Qt.MouseButton.LeftButton, pos=elsewhere.rect().bottomRight() - QPoint(3, 3))
    assert not note.hasFocus()
    assert controller_of(tagged).case.tag(first.id).note == "seen late"


def test_return_presses_the_button_with_the_focus(tagged: Window) -> None:
    controller_of(tagged).select(controller_of(tagged).case.tags[0].id)
    check = next(one for one in bench_of(tagged).top.findChildren(QPushButton) if one.text().startswith("Check"))
    check.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(check, Qt.Key.Key_Return)
    assert bench_of(tagged).findings.isVisible()


def test_the_command_finder_gives_the_focus_back(tagged: Window) -> None:
    picture = bench_of(tagged).picture
    picture.setFocus()
    QTest.keySequence(tagged, "Ctrl+K")
    assert tagged.command_palette.field.hasFocus()
    QTest.keyClick(tagged.command_palette.field, Qt.Key.Key_Escape)
    assert picture.hasFocus()


def test_a_small_screen_is_not_overfilled_and_the_size_is_kept(tagged: Window, qapp: QApplication) -> None:
    tagged.resize(960, 640)
    tagged.close()
    again = Window(qapp, tagged.theme, tagged.preferences.settings)
    assert again.height() == 640
    tagged.preferences.geometry = "damaged"
    small = Window(qapp, tagged.theme, tagged.preferences.settings)
    assert small.width() <= max(small.screen().availableSize().width(), small.minimumWidth())
    for one in (again, small):
        one.close()
        one.deleteLater()
