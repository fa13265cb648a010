"""The cases that are looked at together, in one vocabulary, and which are left out for what reason."""

from collections.abc import Iterable, Iterator

import msgspec
from msgspec.structs import replace

from annotator.measure.durations import altered_of
from annotator.model.case import Case
from annotator.model.edits import replace_vocabulary
from annotator.model.own_terms import with_own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry


class Member(msgspec.Struct, frozen=True):
    """A case as it is told of: `name` is never its title, which may hold a patient's name.

    number  of the case in its surgeon's own count, from 1; None where nobody says
    month   as 2026-03, or empty
    """

    case: Case
    name: str
    number: int | None = None
    month: str = ""


class LeftOut(msgspec.Struct, frozen=True):
    """A case that does not count, and why."""

    name: str
    reason: str


class Series(msgspec.Struct, frozen=True):
    """Cases in order of their numbers, those without one last, and what was left out."""

    members: tuple[Member, ...]
    left_out: tuple[LeftOut, ...] = ()

    @property
    def numbered(self) -> tuple[Member, ...]:
        """Those of which the number is known."""
        return tuple(one for one in self.members if one.number is not None)


def series(members: Iterable[Member], vocabulary: Vocabulary, with_altered: bool = False) -> Series:
    """The cases that can be laid beside each other in a vocabulary, carried over to it where theirs is another version.

    Cut and speeded recordings are left out unless `with_altered`.
    """
    kept: dict[str, Member] = {}
    left_out: list[LeftOut] = []
    for one in sorted(members, key=_order):
        reason = next(_reasons(one, kept, vocabulary, with_altered), "")
        if reason:
            left_out.append(LeftOut(one.name, reason))
        else:
            kept[one.case.id] = replace(one, case=_in_vocabulary(one.case, vocabulary))
    return Series(tuple(kept.values()), tuple(left_out))


def earlier(found: Series, this: Member) -> Series:
    """The cases before one, which is not among them; all others where its own number is not known."""
    others = [one for one in found.members if one.case.id != this.case.id]
    before: list[Member] = []
    later: list[LeftOut] = []
    for one in others:
        if this.number is None or (one.number is not None and one.number < this.number):
            before.append(one)
        else:
            reason = "has no case number" if one.number is None else "is not earlier than this case"
            later.append(LeftOut(one.name, reason))
    return Series(tuple(before), (*found.left_out, *later))


def _order(one: Member) -> tuple[bool, int, str, str, str]:
    return one.number is None, one.number or 0, one.month, one.name, one.case.id


def _reasons(one: Member, kept: dict[str, Member], vocabulary: Vocabulary, with_altered: bool) -> Iterator[str]:
    altered = altered_of(one.case)
    if one.case.id in kept:
        yield f"is the same case as {kept[one.case.id].name}"
    if one.case.vocabulary.iri != vocabulary.iri:
        yield f"uses another vocabulary, {one.case.vocabulary.name}"
    if altered and not with_altered:
        yield f"its recording is {' and '.join(altered)}"
    if one.case.running:
        yield "a tag is still running"


def _in_vocabulary(case: Case, vocabulary: Vocabulary) -> Case:
    if case.vocabulary == vocabulary:
        return replace(case, vocabulary=vocabulary)  # the same one, so that those of all cases are looked at once
    whole = with_own_terms(case, vocabulary)
    return replace_vocabulary(case, whole, carry(case, whole).tags).case
