"""Faults found while reading a file, each with its place; and what a text may hold."""

from collections.abc import Callable, Collection

from annotator.errors import Gathered, listed, nearest
from annotator.plain_text import is_control, plain

LONGEST_TEXT = 10_000
LONGEST_NAME = 200

# Where in nested dicts and lists something stands: ("concepts", 3, "prefLabel", "en").
Path = tuple[str | int, ...]
PlaceOf = Callable[[Path], str]


class Faults(Gathered):
    """Every fault with its place, up to a bound, so that a hostile file can't drown the reader in them."""

    def __init__(self, place_of: PlaceOf) -> None:
        super().__init__()
        self.place_of = place_of

    def add(self, path: Path, says: str, name: str = "", known: Collection[str] = ()) -> None:
        """Note a fault; where `name` was meant to be one of `known`, with the nearest of those."""
        self.note(lambda: self._said(path, says, name, known))

    def _said(self, path: Path, says: str, name: str, known: Collection[str]) -> str:
        close = nearest(name, known) if name else ()
        hint = f"; did you mean {listed(close)}?" if close else ""
        place = self.place_of(path)
        return f"{place}: {says}{hint}" if place else f"{says}{hint}"


def fault_of_text(plain: object) -> str:
    if not isinstance(plain, str):
        return "this must be text"
    if not plain.strip():
        return "the text is empty"
    if len(plain) > LONGEST_TEXT:
        return f"the text is longer than {LONGEST_TEXT} characters"
    if plain.isprintable():  # as nearly all are, and then nothing in it is odd
        return ""
    odd = next((character for character in plain if _is_odd(character)), None)
    return "" if odd is None else f"the text contains the character U+{ord(odd):04X}, which can't be shown; remove it"


def _is_odd(character: str) -> bool:
    """Control characters (but for tab and line end) and halves of characters, which no file can keep faithfully."""
    return character not in "\t\n" and is_control(character)


def short(value: object) -> str:
    """A value as it may stand in a sentence on screen."""
    return plain(str(value), 60)
