"""Keys that the user changes: at once, everywhere, for the next time; no two commands share one."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from annotator.desktop.settings import key_page
from annotator.desktop.window import Window
from tests.desktop.conftest import Again, Opener
from tests.desktop.driving import bench_of, controller_of, tag
from tests.desktop.settings_driving import choose, leave, press_new, row, settings_of


def test_a_changed_key_works_at_once_and_everywhere(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    keys = press_new(window, "core vitrectomy", "F16")
    assert row(keys).keys == ("F16",)
    assert keys.list.hasFocus()
    press_new(window, "find command", "F19")
    leave(window)
    leave_focus = window.focusWidget()
    assert leave_focus is bench_of(window).picture
    QTest.keySequence(window, "C")
    assert not controller_of(window).case.tags
    tag(qtbot, window, "F16")
    core = controller_of(window).case.vocabulary.match("core vitrectomy").iri
    assert [one.concept for one in controller_of(window).case.tags] == [core]
    sheet = bench_of(window).sheet.model
    rows = [sheet.index(at).data(Qt.ItemDataRole.UserRole) for at in range(sheet.rowCount())]
    assert [one.key for one in rows if one.concept == core] == ["F16"]
    page = key_page.dumps(window.commands.keys, controller_of(window).case.vocabulary)
    assert "<li>Core vitrectomy <span><kbd>F16</kbd>" in page and "<li>Find command <span><kbd>F19</kbd>" in page
    find = [one for one in bench_of(window).top.findChildren(QPushButton) if one.text().startswith("Find command")]
    assert [(one.text(), one.toolTip()) for one in find] == [("Find command   F19", "Find command (F19)")]
    assert window.commands.actions["find_command"].shortcut().toString() == "F19"
    QTest.keySequence(window, "F19")
    assert window.command_palette.isVisible()


def test_a_taken_key_says_whose_it_is_and_nothing_changes_until_it_is_given(window: Window) -> None:
    keys = press_new(window, "previous gap", "Ctrl+K")
    assert "Ctrl+K is the key of “Find command”" in keys.about.text()
    assert keys.give.hasFocus()
    assert window.preferences.keys == {}
    QTest.keyClick(keys.give, Qt.Key.Key_Tab)
    assert keys.leave.hasFocus()
    QTest.keyClick(keys.leave, Qt.Key.Key_Space)
    assert window.preferences.keys == {}
    assert keys.list.hasFocus()
    keys = press_new(window, "previous gap", "Ctrl+K")
    QTest.keyClick(keys.give, Qt.Key.Key_Space)
    assert window.commands.keys.of("previous_gap") == ("Ctrl+K",)
    assert window.commands.keys.of("find_command") == ()
    assert row(choose(window, "find command")).keys == ()


def test_a_step_can_take_a_commands_key(window: Window) -> None:
    keys = press_new(window, "core vitrectomy", "K")
    assert "K is the key of “Stop playback”" in keys.about.text()
    QTest.keyClick(keys.give, Qt.Key.Key_Space)
    assert row(choose(window, "core vitrectomy")).keys == ("K",)
    assert row(choose(window, "stop playback")).keys == ()


def test_keys_that_are_needed_elsewhere_are_refused_and_escape_leaves_all_as_it_is(window: Window) -> None:
    keys = press_new(window, "previous gap", "Ctrl+V")
    assert "where text is typed" in keys.about.text()
    assert keys.catcher.hasFocus()
    QTest.keyClick(keys.catcher, Qt.Key.Key_Escape)
    assert keys.list.hasFocus()
    assert window.settings.page.isVisible()
    assert window.preferences.keys == {}
    QTest.keyClick(keys.list, Qt.Key.Key_Return)
    QTest.keyClick(keys.catcher, Qt.Key.Key_Tab)  # nobody is caught in the field
    assert not keys.catcher.isVisible()
    assert window.preferences.keys == {}


def test_a_key_beside_and_none_and_back_again(window: Window) -> None:
    keys = choose(window, "undo")
    keys.add.setFocus()
    QTest.keyClick(keys.add, Qt.Key.Key_Space)
    QTest.keySequence(keys.catcher, "F15")
    assert row(keys).keys == ("Ctrl+Z", "F15")
    keys.none.setFocus()
    QTest.keyClick(keys.none, Qt.Key.Key_Space)
    assert row(keys).keys == ()
    assert window.commands.actions["undo"].shortcuts() == []
    press_new(window, "redo", "Ctrl+Z")
    keys = choose(window, "undo")
    QTest.keyClick(keys.usual, Qt.Key.Key_Space)
    assert "Ctrl+Z is the key of “Redo” now" in keys.about.text()
    QTest.keyClick(keys.all_usual, Qt.Key.Key_Space)
    assert window.preferences.keys == {}
    assert row(choose(window, "undo")).keys == ("Ctrl+Z",)


def test_commands_are_found_by_their_keys(window: Window) -> None:
    assert row(choose(window, "ctrl+k")).name == "find_command"
    keys = settings_of(window).keys
    keys.field.setText("no such thing")
    assert keys.list.selected is None
    assert not keys.change.isEnabled()


def test_keys_are_kept_for_the_next_time(window: Window, again: Again) -> None:
    keys = press_new(window, "light and dark", "F22")
    QTest.keyClick(keys.single, Qt.Key.Key_Space)
    later = again()
    assert not later.commands.single_keys
    was_dark = later.theme.is_dark
    QTest.keySequence(later, "F22")
    assert later.theme.is_dark != was_dark


def test_single_keys_go_off_and_on(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    for on in (False, True):
        single = settings_of(window).keys.single
        QTest.keyClick(single, Qt.Key.Key_Space)
        assert window.preferences.single_keys is on
        leave(window)
        if on:
            tag(qtbot, window, "C")
        else:
            assert window.status.keys_text == "Single-key shortcuts are off"
            QTest.keySequence(window, "C")
            assert controller_of(window).case.tags == ()
    QTest.keySequence(window, "Ctrl+Shift+K")
    assert not settings_of(window).keys.single.isChecked()


def test_the_list_is_told_to_screen_readers(window: Window) -> None:
    keys = press_new(window, "undo", "F15")
    spoken = keys.list.currentIndex().data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Undo, F15, changed"
    told = QAccessible.queryAccessibleInterface(keys.list)
    assert (told.role(), told.text(QAccessible.Text.Name)) == (
        QAccessible.Role.List,
        "Commands and steps with their keys",
    )


def test_while_settings_are_open_no_key_reaches_the_case(recording: Path, opened: Opener, qtbot: QtBot) -> None:
    window = opened(recording)
    page = settings_of(window)
    page.keys.list.setFocus()
    QTest.keySequence(window, "C")
    QTest.keySequence(window, "Ctrl+Z")
    assert controller_of(window).case.tags == ()
    leave(window)
    tag(qtbot, window, "C")
    assert len(controller_of(window).case.tags) == 1
