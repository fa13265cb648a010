"""JSON text in lines that a person can read and a version control system can compare: one tag, one line."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

_OPENED = 3
"""Levels that are laid out over lines; what lies deeper stays on its line."""

_encode = msgspec.json.encode


def laid_out(document: Mapping[str, Any]) -> bytes:
    """The document as UTF-8, keys in the order given, with a line end at the end."""
    return b"".join(_pieces(document, 0)) + b"\n"


def lines_of(items: Iterable[Any]) -> msgspec.Raw:
    """Items that follow each other in a list of the last level that is laid out, each on its line, as text already."""
    return msgspec.Raw((b"," + _margin(_OPENED - 1)).join(map(_encode, items)))


def _margin(level: int) -> bytes:
    """Before what stands in an object or a list of a level."""
    return b"\n" + b"  " * (level + 1)


def _pieces(value: Any, level: int) -> Iterator[bytes]:
    if level == _OPENED or not _holds_containers(value):
        yield _encode(value)
        return
    is_object = isinstance(value, Mapping)
    yield b"{" if is_object else b"["
    margin = _margin(level)
    items = value.items() if is_object else ((None, item) for item in value)
    for index, (key, item) in enumerate(items):
        yield b"," + margin if index else margin
        if is_object:
            yield _encode(key) + b": "
        yield from _pieces(item, level + 1)
    yield b"\n" + b"  " * level + (b"}" if is_object else b"]")


def _holds_containers(value: Any) -> bool:
    if isinstance(value, Mapping):
        return any(isinstance(item, Mapping | list) for item in value.values())
    return isinstance(value, list) and any(isinstance(item, Mapping | list | msgspec.Raw) for item in value)
