"""The table of actions, and that no key does two things."""

from collections import Counter
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from annotator.desktop.commands.actions import ACTIONS, BORROWERS, BY_NAME, ENDS_GROUP, MENUS, is_single, shared_out
from annotator.desktop.dispatch import functions_of
from annotator.desktop.settings import key_page
from annotator.desktop.window import Window
from annotator.model.vocabulary import Concept, Facet, Vocabulary
from annotator.store.vocabularies import find, known
from tests.desktop.conftest import Opener
from tests.desktop.driving import bench_of


def vocabulary_with(*keys: str) -> Vocabulary:
    concepts = tuple(
        Concept(f"https://example.org/v#{number}", f"step-{number}", "step", {"en": f"Step <{number}>"}, key=key)
        for number, key in enumerate(keys)
    )
    return Vocabulary("https://example.org/v", "v", "1", {"en": "V"}, (Facet("step", {"en": "Step"}, True),), concepts)


def test_no_two_actions_share_a_key() -> None:
    """But for those that have another one's key only while they can be used."""
    counted = Counter(
        QKeySequence(key).toString() for action in ACTIONS if action.does not in BORROWERS for key in action.keys
    )
    assert [key for key, count in counted.items() if count > 1] == []


def test_what_ends_a_group_of_a_menu_is_a_command() -> None:
    for menu in MENUS:
        assert all(BY_NAME[does].menu == menu for does in ENDS_GROUP[menu])


def test_every_key_is_one_that_qt_knows() -> None:
    for action in ACTIONS:
        for key in action.keys:
            assert QKeySequence(key).count() == 1, key
            assert QKeySequence(key).toString(), key


def test_the_bundled_vocabularies_take_no_key_from_a_command() -> None:
    for name in known():
        keys = shared_out(ACTIONS, find(name))
        assert keys.without == ()
        assert keys.commands == {action.does: action.keys for action in ACTIONS}


def test_a_step_takes_a_key_from_a_command_which_keeps_its_others() -> None:
    keys = shared_out(ACTIONS, vocabulary_with("k", "K", "p"))
    assert keys.concepts == {"https://example.org/v#0": "K", "https://example.org/v#2": "P"}
    assert keys.without == ("https://example.org/v#1",)
    assert keys.commands["toggle_play"] == ("Space",)


def test_single_keys_are_those_that_a_slip_of_the_finger_presses() -> None:
    assert [key for key in ("P", "[", "1", "Ctrl+P", "Space", "Escape", "Left") if is_single(key)] == ["P", "[", "1"]


def test_every_command_has_one_function_and_no_function_is_left_over(recording: Path, opened: Opener) -> None:
    window = opened(recording)
    of_case = functions_of(bench_of(window))
    assert sorted(window.commands.functions) == sorted(BY_NAME)
    assert window.close_case()
    assert sorted([*window.commands.functions, *of_case]) == sorted(BY_NAME), "each is the program's or the case's"


def test_actions_do_not_repeat(window: Window) -> None:
    assert not any(action.autoRepeat() for action in window.commands.all())


def test_the_page_of_keys_lists_every_command_with_a_key_and_escapes_names() -> None:
    vocabulary = vocabulary_with("a", "b")
    keys = shared_out(ACTIONS, vocabulary)
    page = key_page.dumps(keys, vocabulary)
    for action in ACTIONS:
        assert (f"<li>{action.text.rstrip('…')} <span>" in page) == bool(keys.commands[action.does])
    assert "Step &lt;0&gt;" in page
    assert "Step <0>" not in page


def test_the_guide_has_every_command_with_its_keys() -> None:
    guide = (Path(__file__).resolve().parents[3] / "docs" / "window.md").read_text(encoding="utf-8")
    for action in ACTIONS:
        keys = ", ".join(f"`{key}`" for key in action.keys) or "–"
        assert f"| {action.text.rstrip('…')} | {keys} |" in guide


def test_a_command_is_found_by_name(window: Window, qtbot: QtBot) -> None:
    was_dark = window.theme.is_dark
    QTest.keySequence(window, "Ctrl+K")
    palette = window.command_palette
    qtbot.waitUntil(palette.isVisible)
    QTest.keyClicks(palette.field, "light dark")
    with qtbot.waitSignal(window.theme.changed):
        QTest.keyClick(palette.field, Qt.Key.Key_Return)
    assert window.theme.is_dark != was_dark


def test_the_printed_keys_of_the_guide_are_the_keys_there_are() -> None:
    kept = Path(__file__).resolve().parents[3] / "docs" / "keys.html"
    assert kept.read_text(encoding="utf-8") == key_page.usual(), "`make pictures` writes it anew"
