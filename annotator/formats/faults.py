"""Faults found while reading a file, each with its place; and what a text may hold."""

import unicodedata
from collections.abc import Callable, Collection

from annotator.errors import listed, nearest

LONGEST_TEXT = 10_000
LONGEST_NAME = 200
MOST_FAULTS = 100

# Where in nested dicts and lists something stands: ("concepts", 3, "prefLabel", "en").
Path = tuple[str | int, ...]
PlaceOf = Callable[[Path], str]


class Faults:
    """Every fault with its place, up to a bound, so that a hostile file can't drown the reader in them."""

    def __init__(self, place_of: PlaceOf) -> None:
        self.said: list[str] = []
        self.place_of = place_of

    def add(self, path: Path, says: str, name: str = "", known: Collection[str] = ()) -> None:
        """Note a fault; where `name` was meant to be one of `known`, with the nearest of those."""
        if len(self.said) > MOST_FAULTS:
            return
        if len(self.said) == MOST_FAULTS:
            self.said.append("and more; mend these first")
            return
        close = nearest(name, known) if name and len(name) <= LONGEST_NAME else ()
        hint = f"; did you mean {listed(close)}?" if close else ""
        place = self.place_of(path)
        self.said.append(f"{place}: {says}{hint}" if place else f"{says}{hint}")


def fault_of_text(plain: object) -> str:
    if not isinstance(plain, str):
        return "a text belongs here"
    if not plain.strip():
        return "the text is empty"
    if len(plain) > LONGEST_TEXT:
        return f"the text is longer than {LONGEST_TEXT} characters"
    odd = next((character for character in plain if _is_odd(character)), None)
    return "" if odd is None else f"the text holds the character U+{ord(odd):04X}, which can't be shown; take it out"


def _is_odd(character: str) -> bool:
    """Control characters (but for tab and line end) and halves of characters, which no file can keep faithfully."""
    return character not in "\t\n" and unicodedata.category(character) in ("Cc", "Cs")


def short(value: object) -> str:
    """A value as it may stand in a sentence on screen."""
    text = "".join("?" if _is_odd(character) else character for character in str(value)[:61])
    return text if len(text) <= 60 else f"{text[:59]}…"
