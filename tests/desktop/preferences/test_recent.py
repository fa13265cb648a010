"""The cases last open, on the first screen."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QLabel
from pytestqt.qtbot import QtBot

from annotator.desktop.preferences.recent import MOST, Recent, RecentCase, read_recent, with_case, without, write_recent
from annotator.desktop.start.recent_list import RecentList, _Row
from annotator.desktop.window import Window
from annotator.model.timecode import clock
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, seek, tag
from tests.desktop.workspace.test_case_notices import case_of
from tests.desktop.workspace.test_menus import menu_at

NOW = datetime(2026, 11, 25, 20, 15)


def button(recent: RecentList, name: str) -> QAbstractButton:
    return next(one for one in recent.findChildren(QAbstractButton) if name in (one.accessibleName(), one.text()))


def words(recent: RecentList) -> list[str]:
    return [one.text() for one in recent.findChildren(QLabel) if one.text() and one.isVisible()]


def test_the_newest_stands_first_once_and_the_oldest_goes() -> None:
    recent: Recent = ()
    for number in (*range(MOST + 2), 4):
        recent = with_case(recent, Path(f"{number}.case.jsonld"), NOW)
    assert [one.name for one in recent] == ["4", "7", "6", "5", "3", "2"]
    assert [one.name for one in without(recent, Path("7.case.jsonld"))] == ["4", "6", "5", "3", "2"]
    assert read_recent(write_recent(recent)) == recent


@pytest.mark.parametrize(
    ("ago", "said"),
    [
        (timedelta(minutes=70), "today, 19:05"),
        (timedelta(days=1), "24 November"),
        (timedelta(days=365), "25 November 2025"),
    ],
)
def test_when_it_was_is_said_as_a_person_would(ago: timedelta, said: str) -> None:
    assert RecentCase("a.case.jsonld", NOW - ago).when(NOW) == said


@pytest.mark.parametrize("damaged", ["", "words", "{}", '[{"path": 1}]', "[1]"])
def test_a_damaged_list_is_none(damaged: str) -> None:
    with pytest.raises(ValueError, match=r"^"):
        read_recent(damaged)


def test_a_case_that_was_open_is_offered_and_opened_by_key(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    assert not window.start.recent.isVisible()
    window.close_case()
    recent = window.start.recent
    qtbot.waitUntil(recent.isVisible)
    assert words(recent)[:2] == ["Recent cases", "model-eye"]
    assert str(recording.parent.resolve()) in words(recent)
    again = button(recent, "Open model-eye")
    again.setFocus(Qt.FocusReason.TabFocusReason)
    with qtbot.waitSignal(window.player.shown, timeout=10_000):
        QTest.keyClick(again, Qt.Key.Key_Return)
    assert bench_of(window).controller.session.path == case_of(recording).resolve()


def test_a_case_that_is_gone_is_marked_and_can_be_taken_off(
    recording: Path, tmp_path: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    window.close_case()
    case_of(recording).unlink()
    other = tmp_path / "other.case.jsonld"
    window.preferences.recent_cases = with_case(window.preferences.recent_cases, other, datetime.now())
    recent = window.start.recent
    recent.refresh()
    qtbot.waitUntil(lambda: words(recent).count("Missing") == 2)
    button(recent, "Remove other from the list").click()
    qtbot.waitUntil(lambda: words(recent) == ["Recent cases", "model-eye", "Missing", str(recording.parent.resolve())])
    button(recent, "Open model-eye").click()
    qtbot.waitUntil(lambda: "model-eye.case.jsonld" in window.start.fault.text(), timeout=10_000)
    qtbot.waitUntil(recent.isVisible)
    button(recent, "Clear").click()
    assert not recent.isVisible()
    assert window.preferences.recent_cases == ()


def test_the_sample_is_not_on_the_list(window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.player.shown, timeout=20_000):
        window.openings.open_sample()
    window.close_case()
    assert window.preferences.recent_cases == ()


def test_a_case_goes_on_where_it_was_left(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    seek(qtbot, window, 2_345)
    left_at = window.player.at
    assert left_at > 2_000
    window.close_case()

    def stands(_picture: object, at: int) -> bool:
        return at == left_at

    with qtbot.waitSignal(window.player.shown, check_params_cb=stands):
        window.open_paths([recording])
    assert bench_of(window).top.time_text == clock(left_at)


def test_a_case_stands_there_with_its_title_and_a_picture_from_inside_only(
    recording: Path, opened: Opener, qtbot: QtBot
) -> None:
    window = opened(recording)
    strips = bench_of(window).strips
    qtbot.waitUntil(lambda: strips.is_done, timeout=20_000)
    for key, at in (("c", 1_001), ("Escape", 4_004)):
        seek(qtbot, window, at)
        tag(qtbot, window, key)
    controller_of(window).rename("Membranes")
    window.close_case()
    (kept,) = window.preferences.recent_cases
    assert (kept.title, kept.picture and (kept.picture.since, kept.picture.until)) == ("Membranes", (1_001, 2_502))
    recent = window.start.recent
    qtbot.waitUntil(lambda: any(row.has_picture for row in recent.findChildren(_Row)), timeout=10_000)
    assert words(recent)[:2] == ["Recent cases", "Membranes"]
    opened(recording)
    for _ in range(3):
        QTest.keySequence(window, "Ctrl+A")
        QTest.keySequence(window, "Delete")
    window.close_case()
    assert window.preferences.recent_cases[0].picture is None, "nothing is tagged as seen from inside any more"
    qtbot.waitUntil(lambda: [row.has_picture for row in recent.findChildren(_Row) if row.isVisible()] == [False])


def test_a_list_from_an_earlier_version_is_read() -> None:
    (kept,) = read_recent('[{"path": "/a/b.case.jsonld", "at": "2026-11-25T20:15:00", "shown": 5}]')
    assert (kept.name, kept.folder, kept.picture) == ("b", "/a", None)


def test_a_right_click_opens_shows_or_removes(window: Window, tmp_path: Path, qtbot: QtBot) -> None:
    window.preferences.recent_cases = with_case((), tmp_path / "gone.case.jsonld", datetime.now())
    recent = window.start.recent
    recent.refresh()
    qtbot.waitUntil(lambda: "Missing" in words(recent))
    row = next(one for one in recent.findChildren(_Row) if one.isVisible())
    offers = menu_at(row, row.rect().center())
    assert list(offers) == ["Open", "Show in folder", "Remove from list"]
    assert not offers["Show in folder"].isEnabled()
    offers["Remove from list"].trigger()
    assert window.preferences.recent_cases == ()
