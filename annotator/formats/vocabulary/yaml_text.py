"""YAML read as dicts, lists and texts: only what a vocabulary or a list of roles or facts needs of it.

No anchors, no aliases, no tags. Everything but `true` and `false` is text, so that the language `no` and the version
1.10 stay what they are.
"""

from collections.abc import Mapping
from functools import partial
from typing import Any

import yaml

from annotator.errors import Gathered, InvalidFile
from annotator.formats.faults import Path, PlaceOf, short

LARGEST = 2_000_000
"""Characters that are read."""

_DEEPEST = 12
_NOT_READABLE = "This is not readable YAML"
_MEANINGS: Mapping[str, bool | None] = {"true": True, "false": False, "": None, "~": None, "null": None}


def plain_of(text: str, what: str) -> tuple[Any, Mapping[Path, int]]:
    """What a YAML text says, and the line of each value by its path. Raises InvalidFile, which begins with `what`."""
    if len(text) > LARGEST:
        raise InvalidFile(what, [f"{len(text)} characters are more than the {LARGEST} that are read"])
    reading = _Reading(text, what)
    try:
        plain = reading.document()
    except (yaml.YAMLError, UnicodeError) as error:
        raise InvalidFile(_NOT_READABLE, [_said(error)]) from error
    if reading.faults.said:
        raise InvalidFile(what, reading.faults.said, reading.faults.more)
    return plain, reading.lines


def line_of(lines: Mapping[Path, int]) -> PlaceOf:
    """Words the place of a fault: its line, or that of what holds it."""

    def place(path: Path) -> str:
        known = next((path[:length] for length in range(len(path), -1, -1) if path[:length] in lines), ())
        return f"line {lines.get(known, 1)}"

    return place


class _Reading:
    """A text read once from its beginning to its end, as dicts, lists, texts, booleans and None.

    lines   of each value, by its path
    faults  keys that are said twice, and those that are no plain words
    """

    def __init__(self, text: str, what: str) -> None:
        self._what = what
        self.lines: dict[Path, int] = {}
        self.faults = Gathered()
        self._events = iter(yaml.parse(text, yaml.CSafeLoader))

    def document(self) -> Any:
        """What the whole text says; None of an empty one. Raises InvalidFile, yaml.YAMLError and UnicodeError."""
        next(self._events)  # the stream begins
        if isinstance(next(self._events), yaml.StreamEndEvent):
            return None
        plain = self._value(next(self._events), ())
        next(self._events)  # the document ends
        after = next(self._events)
        if not isinstance(after, yaml.StreamEndEvent):
            line = _line_of(after)
            raise InvalidFile(_NOT_READABLE, [f"line {line}: a second document begins, and only one is read"])
        return plain

    def _value(self, event: yaml.Event, path: Path) -> Any:
        """What begins with an event, at a place."""
        line = self.lines[path] = _line_of(event)
        _refuse_what_is_not_needed(event, line, self._what)
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event)
        if len(path) >= _DEEPEST:  # a path is as long as what it leads to is deep
            raise InvalidFile(self._what, [f"line {line}: lists and mappings are nested more than {_DEEPEST} deep"])
        return self._list(path) if isinstance(event, yaml.SequenceStartEvent) else self._mapping(path)

    def _list(self, path: Path) -> list[Any]:
        found: list[Any] = []
        for event in self._events:
            if isinstance(event, yaml.SequenceEndEvent):
                break
            found.append(self._value(event, (*path, len(found))))
        return found

    def _mapping(self, path: Path) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for event in self._events:
            if isinstance(event, yaml.MappingEndEvent):
                break
            line = _line_of(event)
            if not isinstance(event, yaml.ScalarEvent):
                self.faults.note(partial("line {}: a name before the colon is a plain word".format, line))
                self._value(event, (*path, ""))
                self._value(next(self._events), (*path, ""))
                continue
            _refuse_what_is_not_needed(event, line, self._what)
            value = self._value(next(self._events), (*path, event.value))
            self.lines[*path, event.value] = line
            if event.value in found:
                self.faults.note(partial("line {}: “{}” is there twice".format, line, short(event.value)))
            else:
                found[event.value] = value
        return found


def _refuse_what_is_not_needed(event: yaml.Event, line: int, what: str) -> None:
    """Anchors make small files huge, tags make objects: neither is needed here."""
    if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
        raise InvalidFile(what, [f"line {line}: anchors (&) and aliases (*) are not read; write the text out"])
    if getattr(event, "tag", None) not in (None, "!"):
        raise InvalidFile(what, [f"line {line}: tags (!) are not read; write plain text"])


def _scalar(event: yaml.ScalarEvent) -> str | bool | None:
    """A word as text, but for `true`, `false` and nothing at all where they are not quoted."""
    is_plain = event.implicit[0]
    if is_plain and event.value in _MEANINGS:
        return _MEANINGS[event.value]
    return str(event.value)


def _line_of(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _said(error: Exception) -> str:
    """What the YAML library says of a text that is none, in one line."""
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        return f"line {error.problem_mark.line + 1}: {error.problem or error.context}"
    return " ".join(str(error).split())
