"""What is usual of a concept, as its vocabulary says it: the check asks where a case differs.

A rule is a hint, never a limit: an operation that breaks every one of them can be tagged.
"""

from collections.abc import Iterable

import msgspec
from msgspec.structs import force_setattr

from annotator.model.timecode import Ms


class UsualTime(msgspec.Struct, frozen=True):
    """How long one occurrence usually takes, in ms; None: no bound."""

    least: Ms | None = None
    most: Ms | None = None


class Rules(msgspec.Struct, frozen=True):
    """What is usual of a concept; concepts are named by notation, and each stands for the narrower ones too.

    usual_time         how long one occurrence takes; where it is not said, as the nearest broader of the category
    usual_place        where it is usually done: places as `parse_place` reads them; where it is not said, likewise
    needs_before       one of these comes earlier in the case
    never_with         what is not there at the same time
    expected_with      it is missed in a case where one of these is tagged
    changes_performer  somebody else goes on after it
    """

    usual_time: UsualTime = UsualTime()
    usual_place: tuple[str, ...] = ()
    needs_before: tuple[str, ...] = ()
    never_with: tuple[str, ...] = ()
    expected_with: tuple[str, ...] = ()
    changes_performer: bool = False

    def __post_init__(self) -> None:
        for field in ("usual_place", "needs_before", "never_with", "expected_with"):
            force_setattr(self, field, as_set(getattr(self, field)))

    def named(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The rules that name other concepts, each by what a vocabulary's file calls it, with the notations."""
        return (
            ("needsBefore", self.needs_before),
            ("neverWith", self.never_with),
            ("expectedWith", self.expected_with),
        )


def as_set(texts: Iterable[str]) -> tuple[str, ...]:
    """Texts as in RDF, where the order of several values says nothing."""
    return tuple(sorted(set(texts)))
