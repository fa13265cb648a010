"""The settings: one page, by keys alone, in force at once and the next time; no two commands share a key."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop import key_page
from annotator.desktop.kept_room import GB, Room
from annotator.desktop.key_list import KeyRow
from annotator.desktop.keys_panel import KeysPanel
from annotator.desktop.settings_page import SettingsPage
from annotator.desktop.theme import Choice, Theme
from annotator.desktop.window import Window
from annotator.media.keeping import place, used_bytes
from annotator.store.vocabularies import find, own_folder, write
from annotator.workflow.places import cache_folder
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of, controller_of, tag

Again = Callable[[], Window]


@pytest.fixture
def again(qtbot: QtBot, qapp: QApplication, theme: Theme, tmp_path: Path, window: Window) -> Iterator[Again]:
    """Another window opened on the same settings, and the first one closed."""
    made: list[Window] = []

    def open_again() -> Window:
        settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
        another = Window(qapp, theme, settings)
        made.append(another)
        another.show()
        window.close()
        another.activateWindow()
        qtbot.waitUntil(another.isActiveWindow)
        return another

    yield open_again
    for one in made:
        one.close()
        one.deleteLater()


def settings_of(window: Window) -> SettingsPage:
    """The page of settings, opened by its key."""
    if not window.settings.page.isVisible():
        QTest.keySequence(window, "Ctrl+,")
    assert window.settings.page.isVisible()
    return window.settings.page


def choose(window: Window, words: str) -> KeysPanel:
    """Look for a command by words, and go to it in the list."""
    keys = settings_of(window).keys
    keys.field.setFocus()
    keys.field.clear()
    QTest.keyClicks(keys.field, words)
    QTest.keyClick(keys.field, Qt.Key.Key_Return)
    assert keys.list.hasFocus()
    return keys


def press_new(window: Window, words: str, key: str) -> KeysPanel:
    """Give a command a key, up to where the window asks back."""
    keys = choose(window, words)
    QTest.keyClick(keys.list, Qt.Key.Key_Return)
    assert keys.catcher.hasFocus()
    QTest.keySequence(keys.catcher, key)
    return keys


def row(keys: KeysPanel) -> KeyRow:
    assert keys.list.chosen is not None
    return keys.list.chosen


def leave(window: Window) -> None:
    QTest.keyClick(window.focusWidget() or window, Qt.Key.Key_Escape)
    assert not window.settings.page.isVisible()


# --- keys ---------------------------------------------------------------------------------------------------


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
    assert "<kbd>F16</kbd></dt><dd>Core vitrectomy" in page and "<kbd>F19</kbd></dt><dd>Find a command" in page
    find = [one for one in bench_of(window).top.findChildren(QPushButton) if one.text().startswith("Find a command")]
    assert [(one.text(), one.toolTip()) for one in find] == [("Find a command   F19", "Find a command (F19)")]
    assert window.commands.actions["find_command"].shortcut().toString() == "F19"
    QTest.keySequence(window, "F19")
    assert window.finder.isVisible()


def test_a_taken_key_says_whose_it_is_and_nothing_changes_until_it_is_given(window: Window) -> None:
    keys = press_new(window, "previous gap", "Ctrl+K")
    assert "Ctrl+K is the key of “Find a command”" in keys.about.text()
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
    assert "K is the key of “Stop playing”" in keys.about.text()
    QTest.keyClick(keys.give, Qt.Key.Key_Space)
    assert row(choose(window, "core vitrectomy")).keys == ("K",)
    assert row(choose(window, "stop playing")).keys == ()


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
    assert keys.list.chosen is None
    assert not keys.change.isEnabled()


def test_keys_are_kept_for_the_next_time(window: Window, again: Again) -> None:
    keys = press_new(window, "light or dark", "F22")
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
            assert window.status.keys_text == "Single keys are off"
            QTest.keySequence(window, "C")
            assert controller_of(window).case.tags == ()
    QTest.keySequence(window, "Ctrl+Shift+K")
    assert not settings_of(window).keys.single.isChecked()


def test_damaged_settings_are_told_and_left_out(tmp_path: Path, again: Again) -> None:
    keys = '{"undo": ["Tab"], "nothing": ["F15"], "save": ["F16"]}'.replace('"', '\\"')
    text = f'[General]\ntheme=purple\nspeeds=1, 2\nkeys="{keys}"\n'
    (tmp_path / "settings.ini").write_text(text, encoding="utf-8")
    window = again()
    said = window.start.fault.text()
    for part in ("“theme”", "“speeds”", "“Tab” can't be a key of Undo", "no command “nothing”"):
        assert part in said
    assert window.commands.keys.of("save") == ("F16",)
    assert window.commands.keys.of("undo") == ("Ctrl+Z",)
    assert "“theme”" in settings_of(window).fault.text()


def test_tab_goes_through_the_page_and_nobody_is_caught(window: Window) -> None:
    page = settings_of(window)
    first = page.form.theme
    stops: list[QWidget] = [first]
    while len(stops) < 60:
        QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Tab)
        now = QApplication.focusWidget()
        assert now is not None
        if now is first:
            break
        stops.append(now)
    form, keys = page.form, page.keys
    wanted = [form.speeds, form.vocabulary, form.other_folder, form.size_box]
    wanted += [keys.single, keys.field, keys.list, keys.change, keys.none]
    assert [one for one in stops if one in wanted] == wanted
    assert [QAccessible.queryAccessibleInterface(one).text(QAccessible.Text.Name) for one in stops].count("") == 0


def test_the_list_is_told_to_screen_readers(window: Window) -> None:
    keys = press_new(window, "undo", "F15")
    spoken = keys.list.currentIndex().data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Undo, F15, changed"
    told = QAccessible.queryAccessibleInterface(keys.list)
    assert (told.role(), told.text(QAccessible.Text.Name)) == (
        QAccessible.Role.List,
        "Commands and steps with their keys",
    )


def test_settings_that_can_not_be_written_are_said(window: Window, tmp_path: Path) -> None:
    """A folder where the file should be: Qt can't write there, whoever runs the test."""
    kept = tmp_path / "settings.ini"
    kept.unlink(missing_ok=True)
    kept.mkdir()
    page = settings_of(window)
    QTest.keyClick(page.form.theme, Qt.Key.Key_Down)
    assert "settings.ini" in page.fault.text()
    assert window.theme.choice is Choice.LIGHT


# --- the rest -----------------------------------------------------------------------------------------------


def theme_of(window: Window) -> tuple[Choice, bool]:
    return window.theme.choice, window.theme.is_dark


def test_the_theme_changes_at_once_and_stays(window: Window, again: Again) -> None:
    page = settings_of(window)
    assert page.form.theme.hasFocus()
    QTest.keyClick(page.form.theme, Qt.Key.Key_Down)
    assert theme_of(window) == (Choice.LIGHT, False)
    QTest.keyClick(page.form.theme, Qt.Key.Key_Down)
    assert theme_of(window) == (Choice.DARK, True)
    QTest.keySequence(window, "Ctrl+T")
    assert theme_of(window) == (Choice.LIGHT, False)
    assert page.form.theme.currentText() == "Light"
    assert again().preferences.theme is Choice.LIGHT


def test_other_speeds_are_offered_at_once(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    window.player.set_speed(4)
    page = settings_of(window)
    page.form.speeds.setFocus()
    page.form.speeds.selectAll()
    QTest.keyClicks(page.form.speeds, "8 0.25 3")
    QTest.keyClick(page.form.speeds, Qt.Key.Key_Return)
    assert list(window.preferences.speeds) == [0.25, 1, 3, 8]
    assert page.form.speeds.text() == "0.25  1  3  8"
    page.form.speeds.setText("fast")
    QTest.keyClick(page.form.speeds, Qt.Key.Key_Return)
    assert "“fast” is not a number" in page.form.on_speeds.text()
    leave(window)
    reached: list[float] = [window.player.speed]
    for key in "+++-":
        QTest.keySequence(window, key)
        reached.append(window.player.speed)
    assert reached == [1, 3, 8, 8, 3]
    names = {one.accessibleName() for one in bench_of(window).transport.findChildren(QWidget)}
    assert {"Speed 0.25", "Speed 1", "Speed 3", "Speed 8"} <= names
    QTest.keyClick(settings_of(window).form.usual_speeds, Qt.Key.Key_Space)
    assert list(window.preferences.speeds) == [0.5, 1, 1.5, 2, 4]


def test_what_is_kept_has_a_place_and_a_size(window: Window, tmp_path: Path) -> None:
    form = settings_of(window).form
    usual = Room.of(window.preferences).folder
    usual.mkdir(parents=True)
    place(usual, "one", ".film").write_bytes(bytes(3_000_000))
    window.settings.refresh()
    assert form.used.text() == "3 MB are used now."
    QTest.keyClick(form.empty, Qt.Key.Key_Space)
    assert used_bytes(usual) == 0
    assert form.used.text() == "Nothing is kept there now."
    other = tmp_path / "elsewhere"
    place(usual, "two", ".film").write_bytes(bytes(1000))
    form.use_folder(other)
    assert Room.of(window.preferences).folder == other
    assert used_bytes(usual) == 0
    form.size_box.setFocus()
    QTest.keyClick(form.size_box, Qt.Key.Key_Down)
    assert window.preferences.cache_bytes == GB
    form.use_folder(None)
    assert Room.of(window.preferences).folder == usual


def test_what_an_open_case_makes_is_kept_where_it_is_wanted(
    window: Window, recording: Path, opened: Opener, qtbot: QtBot, tmp_path: Path
) -> None:
    settings_of(window).form.use_folder(tmp_path / "first")
    opened(recording)
    strips = bench_of(window).strips
    qtbot.waitUntil(lambda: strips.is_done, timeout=20_000)
    kept = {one.suffix for one in (tmp_path / "first").iterdir()}
    assert {".frames", ".film", ".sound"} <= kept
    assert used_bytes(cache_folder()) == 0
    settings_of(window).form.use_folder(tmp_path / "second")
    assert used_bytes(tmp_path / "first") == 0
    leave(window)
    window.close_case()
    opened(recording)
    strips = bench_of(window).strips
    qtbot.waitUntil(lambda: strips.is_done, timeout=20_000)
    assert used_bytes(tmp_path / "second") > 0
    assert used_bytes(tmp_path / "first") == 0


def test_less_room_takes_away_what_was_used_longest_ago(window: Window) -> None:
    form = settings_of(window).form
    folder = Room.of(window.preferences).folder
    folder.mkdir(parents=True)
    old, new = place(folder, "old", ".mp4"), place(folder, "new", ".mp4")
    for at, path in enumerate((old, new)):
        with path.open("wb") as file:
            file.truncate(600_000_000)
        os.utime(path, (1_000_000 + at, 1_000_000 + at))
    form.refresh()
    form.size_box.setFocus()
    QTest.keyClick(form.size_box, Qt.Key.Key_Down)
    assert window.preferences.cache_bytes == GB
    assert (old.exists(), new.exists()) == (False, True)
    assert form.used.text() == "600 MB are used now."


def test_a_folder_that_can_not_be_written_to_is_said_at_once(window: Window, tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("words", encoding="utf-8")
    form = settings_of(window).form
    form.use_folder(tmp_path / "a file" / "within")
    assert "can't be written to" in form.used.text()
    assert window.preferences.cache_folder is None


def test_a_new_case_has_the_vocabulary_that_is_set(recording: Path, window: Window, opened: Opener) -> None:
    own_folder().mkdir(parents=True)
    write(own_folder() / "ours.yaml", find("general"))
    box = settings_of(window).form.vocabulary
    assert "Any operation (yours: ours)" in [box.itemText(at) for at in range(box.count())]
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Home)
    assert window.preferences.vocabulary == "cataract"
    assert row(choose(window, "capsulorhexis")).keys
    leave(window)
    opened(recording)
    assert controller_of(window).case.vocabulary.name == "cataract"
    window.preferences.vocabulary = "general"
    window.close_case()
    opened(recording)
    assert controller_of(window).case.vocabulary.name == "cataract"


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
