"""Keys that are changed: what may be a key, who has it, and what a kept file may say."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QKeySequence

from annotator.desktop.commands.actions import ACTIONS, BORROWERS, BY_NAME, Changed, shared_out
from annotator.desktop.settings.key_changes import as_usual, refusal, sound, without_keys, written
from annotator.desktop.settings.key_changes import given as given_to
from annotator.store.vocabularies import find, known

VOCABULARY = find("vitreoretinal")
CORE = VOCABULARY.match("core vitrectomy").iri
NAMES = [*BY_NAME, *(concept.iri for concept in VOCABULARY.concepts)]
GOOD = ["F5", "Ctrl+9", "Shift+P", "K", "Ctrl+K", "Space", "C", ",", "+", "Alt+Home", "Ü", "F24"]

one_change = st.tuples(st.sampled_from(NAMES), st.sampled_from(GOOD), st.booleans())


def test_what_the_table_and_the_vocabularies_use_may_be_a_key() -> None:
    for action in ACTIONS:
        for key in action.keys:
            assert written(QKeySequence(key)) == key
            assert refusal(key, action.keys) == ""
            assert refusal(key) == "" or key in ("Escape", "Return", "Ctrl+A", "Ctrl+C")
    for name in known():
        assert not [one.key for one in find(name).concepts if one.key and refusal(one.key.upper())]


@pytest.mark.parametrize(
    ("key", "why"),
    [
        *[(key, "next") for key in ("Tab", "Shift+Backtab")],
        *[(key, "leaves fields") for key in ("Escape", "Shift+Escape")],
        *[(key, "works buttons") for key in ("Return", "Enter", "Shift+Return")],
        # Clipboard and selection, in the documentation of Qt's QLineEdit, "Key Bindings" (from memory).
        *[(key, "typed") for key in ("Ctrl+C", "Ctrl+X", "Ctrl+V", "Ctrl+A", "Backspace", "Ctrl+Backspace")],
        *[(key, "system") for key in ("Alt+F4", "Meta+L", "Media Play", "Print", "CapsLock", "Volume Up")],
        # AltGr is Ctrl and Alt together on Windows (Microsoft, "Keyboard Layouts"; from memory).
        *[(key, "character") for key in ("Ctrl+Alt+Q", "Ctrl+Alt++")],
        *[(key, "known here") for key in ("", "Wheel", "Ctrl+", "Ctrl+K, Ctrl+L", "ctrl+k", "Esc")],
    ],
)
def test_a_key_that_is_needed_elsewhere_is_refused_with_a_reason(key: str, why: str) -> None:
    assert why in refusal(key)


@given(st.lists(one_change, max_size=12))
def test_whatever_is_given_to_whom_no_two_share_a_key(steps: list[tuple[str, str, bool]]) -> None:
    changed: Changed = {}
    for name, key, beside in steps:
        keys = shared_out(ACTIONS, VOCABULARY, changed)
        changed = given_to(changed, keys, name, key, beside=beside and name in BY_NAME)
        keys = shared_out(ACTIONS, VOCABULARY, changed)
        own = [of for name, of in keys.commands.items() if name not in BORROWERS or name in changed]
        every = [one for of in own for one in of] + list(keys.concepts.values())
        assert len(every) == len(set(every))
        assert key in keys.of(name)
        assert keys.holder(key) == name
        assert sound(changed) == (changed, ())


def test_a_given_key_leaves_its_holder_and_the_holders_others_stay() -> None:
    keys = shared_out(ACTIONS, VOCABULARY)
    changed = given_to({}, keys, CORE, "Left")
    after = shared_out(ACTIONS, VOCABULARY, changed)
    assert after.concepts[CORE] == "Left"
    assert after.of("frame_back") == (",",)
    assert after.holder("C") is None
    changed = given_to(changed, after, "save", "C", beside=True)
    assert shared_out(ACTIONS, VOCABULARY, changed).of("save") == ("Ctrl+S", "C")


def test_keys_come_back_as_far_as_they_are_free() -> None:
    keys = shared_out(ACTIONS, VOCABULARY)
    changed = given_to({}, keys, "undo", "Space")
    assert shared_out(ACTIONS, VOCABULARY, as_usual(changed, "toggle_play")).of("toggle_play") == ()
    assert shared_out(ACTIONS, VOCABULARY, as_usual(as_usual(changed, "toggle_play"), "undo")) == keys
    assert shared_out(ACTIONS, VOCABULARY, without_keys({}, "undo")).of("undo") == ()


def test_the_users_choice_comes_before_the_vocabularys() -> None:
    changed = {"save": ("C",)}
    keys = shared_out(ACTIONS, VOCABULARY, changed)
    assert keys.of("save") == ("C",)
    assert keys.without == (CORE,)


def test_kept_changes_that_can_not_be_are_left_out_and_told() -> None:
    kept = sound(
        {
            "undo": ("esc", "ctrl+9"),
            "no such command": ("F5",),
            "save": ("Ctrl+9",),
            "pause": ("Tab",),
            "faster": (),
            "end_running": ("Esc", "F6"),
            "https://example.org/v#a": ("ü",),
            "https://example.org/v#b": ("<b>",),
        }
    )
    assert kept.keys == {
        "undo": ("Ctrl+9",),
        "faster": (),
        "end_running": ("Escape", "F6"),
        "https://example.org/v#a": ("Ü",),
    }
    said = "\n".join(kept.faults)
    assert len(kept.faults) == 5
    assert "“esc” can't be a key of Undo: it leaves fields" in said
    assert "no command “no such command”" in said
    assert "“Ctrl+9” can't be a key of Save now: Undo has it" in said


@given(st.dictionaries(st.sampled_from(NAMES) | st.text(max_size=8), st.lists(st.text(max_size=6)).map(tuple)))
def test_any_kept_text_is_borne(changed: Changed) -> None:
    kept = sound(changed)
    assert sound(kept.keys) == (kept.keys, ())
    shared_out(ACTIONS, VOCABULARY, kept.keys)
