"""A right click, or Shift+F10, offers the commands of what it is about, each only where it can be used."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.widgets.row_model import ROLE
from annotator.desktop.window import Window
from annotator.store.session import Session
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag
from tests.desktop.workspace.test_case_notices import case_of


@pytest.fixture
def tagged(recording: Path, opened: Opener, qtbot: QtBot) -> Window:
    """Core vitrectomy and hyaloid separation, a second each, then hyaloid separation once more; nothing selected."""
    window = opened(recording)
    for at, key in ((0, "c"), (1001, "h"), (2002, "c"), (3003, "Escape")):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    controller_of(window).select(None)
    return window


def menu_at(widget: QWidget, place: QPoint) -> dict[str, QAction]:
    """What a right click there offers, by its words."""
    asks = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, place, widget.mapToGlobal(place))
    QApplication.sendEvent(widget, asks)
    return open_menu()


def open_menu() -> dict[str, QAction]:
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    found = {one.text(): one for one in menu.actions() if not one.isSeparator()}
    QTest.keyClick(menu, Qt.Key.Key_Escape)
    return found


def line(view: QAbstractItemView, row: int) -> QPoint:
    return view.visualRect(view.model().index(row, 0)).center()


def test_a_tag_offers_the_same_in_the_list_and_in_the_timeline(tagged: Window) -> None:
    bench, controller = bench_of(tagged), controller_of(tagged)
    QTest.mouseClick(bench.record.viewport(), Qt.MouseButton.RightButton, pos=line(bench.record, 1))
    in_list = menu_at(bench.record.viewport(), line(bench.record, 1))
    assert controller.selected == controller.case.tags[1]
    controller.select(None)
    place = QPoint(round(bench.timeline.scale.x(500)), round(bench.timeline.middle_of("step")))
    at = controller.at
    in_timeline = menu_at(bench.timeline, place)
    assert controller.selected == controller.case.tags[0]
    assert controller.at == at, "a right click moves nothing"
    assert list(in_timeline) == list(in_list)
    assert all(
        tagged.commands.actions[does] in in_list.values() for does in ("edit_note", "remove_chosen", "join_next")
    )
    assert all(one.isEnabled() for one in in_timeline.values())


def test_a_right_click_on_one_of_several_keeps_them(tagged: Window) -> None:
    bench, controller = bench_of(tagged), controller_of(tagged)
    ids = [one.id for one in controller.case.tags]
    controller.select(ids[0], ids)
    menu_at(bench.timeline, QPoint(round(bench.timeline.scale.x(1500)), round(bench.timeline.middle_of("step"))))
    assert len(controller.all_selected) == 3


def test_an_empty_spot_of_the_timeline_leads_there(tagged: Window, qtbot: QtBot) -> None:
    timeline = bench_of(tagged).timeline
    place = QPoint(round(timeline.scale.x(4000)), round(timeline.middle_of("step")))
    offers = menu_at(timeline, place)
    first = next(iter(offers))
    assert first.startswith("Go to 00:00:0")
    assert tagged.commands.actions["zoom_whole"] in offers.values()
    with qtbot.waitSignal(tagged.player.shown, timeout=5_000):
        offers[first].trigger()
    assert 3900 <= controller_of(tagged).at <= 4100


def test_a_step_is_tagged_or_looked_for(tagged: Window, qtbot: QtBot) -> None:
    sheet = bench_of(tagged).sheet
    concept = controller_of(tagged).case.tags[1].concept
    row = sheet.model.row_of(concept)
    assert row is not None
    sheet.reveal(concept)
    offers = menu_at(sheet.view.viewport(), line(sheet.view, row))
    name = sheet.model.index(row).data(ROLE).text
    assert list(offers)[:2] == [name, "Go to its next tag"]
    with qtbot.waitSignal(tagged.player.shown, timeout=5_000):
        offers["Go to its next tag"].trigger()
    assert controller_of(tagged).at == 1001
    seek(qtbot, tagged, 4004)
    with qtbot.waitSignal(controller_of(tagged).changed):
        offers[name].trigger()


def test_by_key_the_menu_of_what_has_the_focus_opens(tagged: Window, qtbot: QtBot) -> None:
    tagged.activateWindow()
    qtbot.waitUntil(bench_of(tagged).picture.hasFocus)
    QTest.keySequence(tagged, "Shift+F10")
    assert tagged.commands.actions["fit_picture"] in open_menu().values()
    QTest.keySequence(tagged, "Ctrl+2")
    QTest.keyClick(bench_of(tagged).record, Qt.Key.Key_Home)
    QTest.keySequence(tagged, "Shift+F10")
    assert tagged.commands.actions["edit_note"] in open_menu().values()


def test_what_can_not_be_done_is_not_offered(recording: Path, opened: Opener, tagged: Window) -> None:
    tagged.close_case()
    with Session.open(case_of(recording)):
        window = opened(case_of(recording))
        record = bench_of(window).record
        QTest.mouseClick(record.viewport(), Qt.MouseButton.RightButton, pos=line(record, 0))
        offers = menu_at(record.viewport(), line(record, 0))
        usable = {
            does for does, action in window.commands.actions.items() if action in offers.values() and action.isEnabled()
        }
        assert usable == {
            *("go_to_chosen", "play_selected", "toggle_loop"),
            *("next_same", "previous_same", "copy_tags"),
        }


def test_a_vocabulary_s_list_stays_closed_for_its_menu(window: Window, qtbot: QtBot) -> None:
    box = window.start.vocabulary
    qtbot.waitUntil(box.isVisible)
    QTest.mousePress(box, Qt.MouseButton.RightButton, pos=box.rect().center())
    assert not box.view().isVisible()
    offers = menu_at(box, box.rect().center())
    assert list(offers) == ["Look for vocabularies again", "Show the folder of your own vocabularies"]
    assert not list(offers.values())[1].isEnabled(), "there is no such folder yet"


def test_a_question_offers_what_can_be_done_to_its_tag(tagged: Window, qtbot: QtBot) -> None:
    seek(qtbot, tagged, 4004)
    tag(qtbot, tagged, "b")
    tagged.commands.actions["show_findings"].trigger()
    findings = bench_of(tagged).findings.list
    offers = menu_at(findings.viewport(), line(findings, 0))
    assert next(iter(offers)) == "Go there"


def test_recordings_and_keys_offer_what_their_buttons_do(tagged: Window) -> None:
    tagged.commands.actions["show_recordings"].trigger()
    recordings = tagged.recordings
    offers = menu_at(recordings.list.viewport(), line(recordings.list, 0))
    assert list(offers) == ["Move up", "Move down", "Remove", "Show in folder"]
    assert [one.isEnabled() for one in offers.values()] == [False, False, True, True]
    recordings.cancel.click()
    tagged.commands.actions["show_settings"].trigger()
    keys = tagged.settings.page.keys
    keys.list.select("undo")
    offers = menu_at(keys.list.viewport(), line(keys.list, keys.list.currentIndex().row()))
    assert list(offers) == [one.text() for one in (keys.change, keys.add, keys.none, keys.usual)]
