"""Going about in the page of settings as a person does, by keys."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from annotator.desktop.settings.key_list import KeyRow
from annotator.desktop.settings.keys_panel import KeysPanel
from annotator.desktop.settings.page import SettingsPage
from annotator.desktop.window import Window


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
    assert keys.list.selected is not None
    return keys.list.selected


def leave(window: Window) -> None:
    QTest.keyClick(window.focusWidget() or window, Qt.Key.Key_Escape)
    assert not window.settings.page.isVisible()
