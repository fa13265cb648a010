"""What is worked out once from a field of a frozen value, and kept with it."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

Value = TypeVar("Value")


class Derived(Generic[Value]):
    """Like functools.cached_property, for what follows from one field of a struct.

    msgspec.structs.replace copies what is cached along with the fields, also where the field that it
    came from was replaced; a value kept here holds only for the very object that it was worked out from.
    """

    def __init__(self, field: str, work_out: Callable[[Any], Value]) -> None:
        self._field = field
        self._work_out = work_out
        self._key = f"{work_out.__name__} of {field}"
        self.__doc__ = work_out.__doc__

    def __get__(self, owner: Any, _kind: type | None = None) -> Value:
        source = getattr(owner, self._field)
        kept: tuple[object, Value] | None = owner.__dict__.get(self._key)
        if kept is None or kept[0] is not source:
            kept = owner.__dict__[self._key] = (source, self._work_out(owner))
        return kept[1]


def derived_from(field: str) -> Callable[[Callable[[Any], Value]], Derived[Value]]:
    """Decorates a method that works something out from `field` alone."""
    return lambda work_out: Derived(field, work_out)
