"""The settings: one page, worked by keys, in force at once and the next time."""

import os
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from annotator.desktop.preferences.cache_room import GB, Room
from annotator.desktop.theme.theme import Choice
from annotator.desktop.window import Window
from annotator.media.cache.cache_files import place, used_bytes
from annotator.store.vocabularies import find, own_folder, write
from annotator.workflow.own_folders import cache_folder
from tests.desktop.conftest import Again, Opener
from tests.desktop.driving import bench_of, controller_of
from tests.desktop.settings_driving import choose, leave, row, settings_of


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


@pytest.mark.parametrize("name", ["film.mp4", "film.case.jsonld", "notes.html"])
def test_the_page_of_keys_takes_the_place_of_a_page_alone(
    name: str, window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chosen = tmp_path / name
    chosen.write_bytes(b"\0\0\0\x18ftypmp42" if name.endswith("mp4") else b"of my own")
    before = chosen.read_bytes()
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(chosen), ""))
    window.commands.actions["write_key_page"].trigger()
    assert window.status.said.startswith(str(chosen))
    assert "name a" in window.status.said
    assert chosen.read_bytes() == before
    chosen = tmp_path / "keys.html"
    for older in (None, "<!doctype html><p>another page, whose place the dialog was told to take</p>"):
        if older:
            chosen.write_text(older, encoding="utf-8")
        window.commands.actions["write_key_page"].trigger()
        assert window.status.said == f"Saved: {chosen}"
        assert "All keys" in chosen.read_text(encoding="utf-8")


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
    assert form.used.text() == "3 MB in use."
    QTest.keyClick(form.empty, Qt.Key.Key_Space)
    assert used_bytes(usual) == 0
    assert form.used.text() == "The cache is empty."
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
    assert form.used.text() == "600 MB in use."


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


def test_settings_that_can_not_be_written_are_said(window: Window, tmp_path: Path) -> None:
    """A folder where the file should be: Qt can't write there, whoever runs the test."""
    kept = tmp_path / "settings.ini"
    kept.unlink(missing_ok=True)
    kept.mkdir()
    page = settings_of(window)
    QTest.keyClick(page.form.theme, Qt.Key.Key_Down)
    assert "settings.ini" in page.fault.text()
    assert window.theme.choice is Choice.LIGHT
