"""A vocabulary as YAML: the plain form, written by hand or by program.

Only what a vocabulary needs of YAML is read: no anchors, no aliases, no tags. Everything but `true` and `false` is
text, so that the language `no` and the version 1.10 stay what they are.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from textwrap import indent
from typing import Any

import yaml
from msgspec.structs import replace

from annotator.errors import Gathered, InvalidFile
from annotator.formats.faults import Path, short
from annotator.formats.vocabulary.form import WHAT, from_plain, to_plain
from annotator.model.vocabulary import Concept, Vocabulary

LARGEST = 2_000_000
_DEEPEST = 12
_NOT_READABLE = "This is not readable YAML"
_MEANINGS: Mapping[str, bool | None] = {"true": True, "false": False, "": None, "~": None, "null": None}


def loads(text: str) -> Vocabulary:
    """The vocabulary that a YAML text says. Raises InvalidFile or InvalidVocabulary with every fault and its line."""
    if len(text) > LARGEST:
        raise InvalidFile(WHAT, [f"{len(text)} characters are more than the {LARGEST} that are read"])
    reading = _Reading(text)
    try:
        plain = reading.document()
    except (yaml.YAMLError, UnicodeError) as error:
        raise InvalidFile(_NOT_READABLE, [_said(error)]) from error
    if reading.faults.said:
        raise InvalidFile(WHAT, reading.faults.said, reading.faults.more)
    return from_plain(plain, _place_of(reading.lines, plain))


def dumps(vocabulary: Vocabulary) -> str:
    """A vocabulary as YAML, in the order of the operation."""
    return yaml.dump(
        to_plain(vocabulary),
        Dumper=yaml.CSafeDumper,
        sort_keys=False,
        allow_unicode=True,
        width=110,
        default_flow_style=False,
    )


def extended(text: str, vocabulary: Vocabulary, added: Sequence[Concept]) -> str:
    """The YAML of a vocabulary whose last concepts, the added ones, `text` lacks: behind it, so that what is written
    and remarked there stays as it is; wholly anew where the concepts are not its end.
    """
    entries = yaml.dump(
        to_plain(replace(vocabulary, concepts=tuple(added)))["concepts"],
        Dumper=yaml.CSafeDumper,
        sort_keys=False,
        allow_unicode=True,
        width=110,
        default_flow_style=False,
    )
    first = re.search(r"^concepts:[^\n]*\n(?:[ \t]*(?:#[^\n]*)?\n)*( *)- ", text, re.MULTILINE)
    longer = f"{text.rstrip()}\n{indent(entries, first[1] if first else '')}"
    try:
        return longer if loads(longer) == vocabulary else dumps(vocabulary)
    except InvalidFile:
        return dumps(vocabulary)


class _Reading:
    """A text read once from its beginning to its end, as dicts, lists, texts, booleans and None.

    lines   of each value, by its path
    faults  keys that are said twice, and those that are no plain words
    """

    def __init__(self, text: str) -> None:
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
        _refuse_what_is_not_needed(event, line)
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event)
        if len(path) >= _DEEPEST:  # a path is as long as what it leads to is deep
            raise InvalidFile(WHAT, [f"line {line}: lists and mappings are nested more than {_DEEPEST} deep"])
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
            _refuse_what_is_not_needed(event, line)
            value = self._value(next(self._events), (*path, event.value))
            self.lines[*path, event.value] = line
            if event.value in found:
                self.faults.note(partial("line {}: “{}” is there twice".format, line, short(event.value)))
            else:
                found[event.value] = value
        return found


def _refuse_what_is_not_needed(event: yaml.Event, line: int) -> None:
    """Anchors make small files huge, tags make objects: neither is needed here."""
    if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
        raise InvalidFile(WHAT, [f"line {line}: anchors (&) and aliases (*) are not read; write the text out"])
    if getattr(event, "tag", None) not in (None, "!"):
        raise InvalidFile(WHAT, [f"line {line}: tags (!) are not read; write plain text"])


def _scalar(event: yaml.ScalarEvent) -> str | bool | None:
    """A word as text, but for `true`, `false` and nothing at all where they are not quoted."""
    is_plain = event.implicit[0]
    if is_plain and event.value in _MEANINGS:
        return _MEANINGS[event.value]
    return str(event.value)


def _line_of(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _place_of(lines: dict[Path, int], plain: Any) -> Callable[[Path], str]:
    """Words the place of a fault: its line, or that of what holds it, and the concept where there is one."""

    def place(path: Path) -> str:
        known = next((path[:length] for length in range(len(path), -1, -1) if path[:length] in lines), ())
        what = ""
        if path[:1] == ("concepts",) and len(path) > 1:
            concept = plain["concepts"][path[1]]
            notation = concept.get("notation") if isinstance(concept, dict) else None
            what = f", {short(notation)}" if isinstance(notation, str) else ""
        return f"line {lines.get(known, 1)}{what}"

    return place


def _said(error: Exception) -> str:
    """What the YAML library says of a text that is none, in one line."""
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        return f"line {error.problem_mark.line + 1}: {error.problem or error.context}"
    return " ".join(str(error).split())
