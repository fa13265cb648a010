"""Read one JSON object of a case file, key by key, noting every fault with its place."""

import re
from datetime import datetime
from enum import StrEnum
from typing import Any, TypeVar

from annotator.formats.faults import LONGEST_TEXT, Faults, Path, short
from annotator.model.timecode import LATEST

DEEPEST = 50
"""Levels of nesting in a value of a key that we do not know."""

_Member = TypeVar("_Member", bound=StrEnum)

# RFC 3987: a scheme, and behind it none of the characters that no IRI may hold.
IRI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:[^\s<>\"{}|\\^`\x00-\x20]+")
_UTC = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{1,9})?Z", re.ASCII)


def json_place(path: Path) -> str:
    """`first.items[3].id`: the place as it would be written in a program."""
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).removeprefix(".")


class Fields:
    """The keys of one object, each handed out once; what nobody asked for is left over.

    A fault is noted, and something harmless handed out in its place: what was read holds only if
    there was none. A key with null says nothing, as in JSON-LD.
    """

    def __init__(self, plain: object, path: Path, faults: Faults) -> None:
        self.path = path
        self.faults = faults
        self._left: dict[str, Any] = dict(plain) if isinstance(plain, dict) else {}
        if not isinstance(plain, dict):
            self.fault("", "this must be an object in braces")

    def fault(self, key: str, says: str, name: str = "", known: tuple[str, ...] = ()) -> None:
        self.faults.add((*self.path, key) if key else self.path, says, name, known)

    def __contains__(self, key: str) -> bool:
        return self._left.get(key) is not None

    def take(self, key: str) -> Any:
        """What stands there, of whatever type."""
        return self._left.pop(key, None)

    def keep(self, key: str, value: Any) -> None:
        """Leave a value over under `key`."""
        self._left[key] = value

    def left(self) -> dict[str, Any]:
        """The keys that nobody asked for, as they came."""
        for key, value in self._left.items():
            if not _is_shallow(value, DEEPEST):
                self.fault(key, f"this is nested more than {DEEPEST} levels deep")
        return self._left

    def text(self, key: str, needed: bool = False) -> str:
        value = self._left.pop(key, None)
        if value is None:
            if needed:
                self.fault(key, "this key is missing")
            return ""
        if not isinstance(value, str):
            self.fault(key, "this must be text")
            return ""
        if len(value) > LONGEST_TEXT:
            self.fault(key, f"the text is longer than {LONGEST_TEXT} characters")
        return value

    def iri(self, key: str) -> str:
        is_text = isinstance(self._left.get(key), str)
        value = self.text(key, needed=True)
        if is_text and not IRI.fullmatch(value):
            self.fault(key, f"“{short(value)}” is not an IRI such as urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a01")
        return value

    def utc(self, key: str) -> str:
        """A time as the Web Annotation Data Model asks: xsd:dateTime in UTC, ending in Z (section 3.3.1)."""
        value = self.text(key)
        if value and not is_utc(value):
            self.fault(key, f"“{short(value)}” is not a date and time in UTC such as 2026-11-24T20:15:00Z")
        return value

    def whole(self, key: str, most: int = LATEST) -> int:
        value = self._left.pop(key, None)
        if value is None:
            return 0
        if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= most:
            self.fault(key, f"this must be a whole number from 0 to {most}")
            return 0
        return value

    def flag(self, key: str, unsaid: bool) -> bool:
        value = self._left.pop(key, None)
        if value is not None and not isinstance(value, bool):
            self.fault(key, "this must be true or false")
        return value if isinstance(value, bool) else unsaid

    def member(self, key: str, kind: type[_Member]) -> _Member | None:
        value = self.text(key)
        try:
            return kind(value) if value else None
        except ValueError:
            known = tuple(kind)
            self.fault(key, f"“{short(value)}” is not one of {', '.join(known)}", value, known)
            return None

    def members(self, key: str, kind: type[_Member]) -> set[_Member]:
        """Those of a list."""
        found: set[_Member] = set()
        for index, value in enumerate(self.items(key)):
            one = Fields({key: value}, (*self.path, key, index), self.faults).member(key, kind)
            found |= {one} if one is not None else set()
        return found

    def items(self, key: str) -> list[Any]:
        """A list; a lone value is a list of one, as in JSON-LD."""
        value = self._left.pop(key, None)
        if value is None:
            return []
        return value if isinstance(value, list) else [value]


def is_utc(value: str) -> bool:
    try:
        return bool(_UTC.fullmatch(value)) and datetime.fromisoformat(value[:19]) is not None
    except ValueError:
        return False


def _is_shallow(value: object, levels: int) -> bool:
    if not isinstance(value, dict | list):
        return True
    inner = value.values() if isinstance(value, dict) else value
    return levels > 0 and all(_is_shallow(one, levels - 1) for one in inner)
