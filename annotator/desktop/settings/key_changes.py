"""Keys that the user has changed: what may be a key, and how one moves from one command to another.

A key is written as in the table of actions, such as `Ctrl+Shift+Z`; a change is all the keys of a command, by its
name, or of a concept, by its IRI.
"""

from collections.abc import Sequence
from typing import NamedTuple

from PySide6.QtGui import QKeySequence

from annotator.desktop.commands.actions import BY_NAME, Changed, Keys

_LONG = {"Esc": "Escape", "Del": "Delete", "Ins": "Insert"}
"""Qt reads both forms and writes the short ones."""

_NAMED = ("Space", "Insert", "Delete", "Home", "End", "PgUp", "PgDown", "Left", "Right", "Up", "Down")
_FUNCTION = tuple(f"F{number}" for number in range(1, 36))
_ENTER = ("Return", "Enter")
_MOVES_FOCUS = ("Tab", "Backtab")

_TYPING = ("Ctrl+C", "Ctrl+X", "Ctrl+V", "Ctrl+A", "Ctrl+Insert", "Shift+Insert", "Shift+Delete")
"""Copy, cut, paste, choose all: as Qt's fields know them on every system (on macOS Qt's Ctrl is the Command key)."""


class Checked(NamedTuple):
    """Changes that can be used, and a sentence for each that can't."""

    keys: Changed
    faults: tuple[str, ...]


def written(sequence: QKeySequence) -> str:
    """A key as the tables write it; empty where it is none, or several after one another."""
    if sequence.count() != 1:
        return ""
    text = sequence.toString(QKeySequence.SequenceFormat.PortableText)
    held, plus, last = text.rpartition("+")
    return f"{held}{plus}{_LONG[last]}" if last in _LONG else text


def refusal(key: str, usual: Sequence[str] = ()) -> str:
    """Why a key can't be given to a command, as the end of a sentence; empty where it can.

    What a command has as a `usual` key is always good for it.
    """
    if key in usual:
        return ""
    if not key or written(QKeySequence(key)) != key:
        return "it is no key that is known here"
    held, plain = _parts(key)
    if plain in _MOVES_FOCUS:
        return "it goes from one control to the next"
    if plain == "Escape":
        return "it leaves fields, and closes what is open"
    if plain in _ENTER and not held & {"Ctrl", "Alt"}:
        return "it works buttons, lists and fields"
    if plain == "Backspace" or key in _TYPING:
        return "it is needed where text is typed"
    if len(plain) == 1 and held >= {"Ctrl", "Alt"}:
        return "on many keyboards it writes a character"
    if "Meta" in held or (plain == "F4" and "Alt" in held) or not _is_ours(plain):
        return "it belongs to the system"
    return ""


def given(changed: Changed, keys: Keys, name: str, key: str, *, beside: bool = False) -> Changed:
    """The changes with a key for a command, in place of its keys or `beside` them; who had it has it no more."""
    after = dict(changed)
    holder = keys.holder(key)
    if holder is not None and holder != name:
        after[holder] = tuple(one for one in keys.of(holder) if one != key)
    after[name] = (*(one for one in keys.of(name) if one != key), key) if beside else (key,)
    return after


def without_keys(changed: Changed, name: str) -> Changed:
    """The changes with no key for a command."""
    return {**changed, name: ()}


def as_usual(changed: Changed, name: str) -> Changed:
    """The changes without those of one command."""
    return {one: keys for one, keys in changed.items() if one != name}


def sound(changed: Changed) -> Checked:
    """Those of kept changes that can be used: of known commands, by keys that can be keys, no key twice."""
    kept: dict[str, tuple[str, ...]] = {}
    faults = []
    holders: dict[str, str] = {}
    for name, keys in changed.items():
        if ":" not in name and name not in BY_NAME:
            faults.append(f"There is no command “{name[:40]}”, so its keys are left out.")
            continue
        called = BY_NAME[name].text.rstrip("…") if name in BY_NAME else "a step"
        good: list[str] = []
        for key in keys:
            normal = written(QKeySequence(key)) or key
            why = refusal(normal, BY_NAME[name].keys if name in BY_NAME else ())
            if why:
                faults.append(f"“{key}” can't be a key of {called}: {why}.")
            elif name in BY_NAME and normal in holders:
                faults.append(f"“{key}” can't be a key of {called}: {holders[normal]} has it.")
            else:
                good.append(normal)
                if name in BY_NAME:
                    holders[normal] = called
        if good or not keys:
            kept[name] = tuple(good)
    return Checked(kept, tuple(faults))


def _parts(key: str) -> tuple[set[str], str]:
    """The keys that are held, and the one that is pressed."""
    held, _, plain = key.rpartition("+")
    return (set(held.split("+")), plain) if plain else (set(key[:-2].split("+")), "+")


def _is_ours(plain: str) -> bool:
    return len(plain) == 1 or plain in _NAMED or plain in _FUNCTION or plain in _ENTER
