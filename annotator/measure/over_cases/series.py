"""The cases that are looked at together, in one vocabulary, and which are left out for what reason."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec
from msgspec.structs import replace

from annotator.measure.before_export import CONSENT, NOT_GIVEN, WITHDRAWN
from annotator.measure.durations import altered_of
from annotator.model.case import Case
from annotator.model.edits import replace_vocabulary
from annotator.model.own_terms import with_own_terms
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_change import carry

CASE_NUMBER, MONTH = "case-number", "month"
"""The facts of a case that are asked for."""

_NO_CONSENT = {WITHDRAWN: "its consent is withdrawn", NOT_GIVEN: "consent was not given for it"}

_NUMBER = re.compile(r"[1-9]\d{0,8}", re.ASCII)
_WHOLE_MONTH = re.compile(r"\d{4}-\d{2}", re.ASCII)
_MONTH_OR_YEAR = re.compile(r"\d{4}(-\d{2})?", re.ASCII)


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
    """A case that does not count, and why; `detail` may hold names of files, and is for whoever has these."""

    name: str
    reason: str
    detail: str = ""


def in_full(one: LeftOut) -> str:
    """Which case does not count, why, and what more is known: “case-3: can't be read (...)”."""
    return f"{one.name}: {one.reason}{f' ({one.detail})' if one.detail else ''}"


class Series(msgspec.Struct, frozen=True):
    """Cases in order of their numbers, those without one last, and what was left out."""

    members: tuple[Member, ...]
    left_out: tuple[LeftOut, ...] = ()


def member(case: Case, name: str) -> Member:
    """A case as it is told of, with what its facts say of its number and its month; anything else they say is none."""
    number, month = case.fact(CASE_NUMBER), case.fact(MONTH)
    return Member(
        case, name, int(number) if _NUMBER.fullmatch(number) else None, month if _MONTH_OR_YEAR.fullmatch(month) else ""
    )


def in_period(members: Iterable[Member], first: str, last: str) -> tuple[list[Member], list[LeftOut]]:
    """The cases from one month to another, both included and as 2026-03; an empty one is no bound."""
    kept: list[Member] = []
    left_out: list[LeftOut] = []
    for one in members:
        if _WHOLE_MONTH.fullmatch(one.month):
            if (not first or first <= one.month) and (not last or one.month <= last):
                kept.append(one)
        elif first or last:
            left_out.append(LeftOut(one.name, "its month is not known"))
        else:
            kept.append(one)
    return kept, left_out


def common_vocabulary(members: Sequence[Member]) -> Vocabulary | None:
    """The vocabulary that most of the cases use, as the last case that uses it has it; None of no case."""
    counts = Counter(one.case.vocabulary.iri for one in members)
    most = max(sorted(counts), key=counts.__getitem__, default="")
    return next(
        (one.case.vocabulary for one in sorted(members, key=_order, reverse=True) if one.case.vocabulary.iri == most),
        None,
    )


def series(members: Iterable[Member], vocabulary: Vocabulary, with_altered: bool = False) -> Series:
    """The cases that can be laid beside each other in a vocabulary, carried over to it where theirs is another version.

    Cut and speeded recordings are left out unless `with_altered`.
    """
    kept: list[Member] = []
    known: dict[object, Member] = {}
    left_out: list[LeftOut] = []
    for one in sorted(members, key=_order):
        reason = next(_reasons(one, known, vocabulary, with_altered), None)
        if reason is not None:
            left_out.append(reason)
            continue
        known |= dict.fromkeys(_marks(one.case), one)
        kept.append(replace(one, case=_in_vocabulary(one.case, vocabulary)))
    return Series(tuple(kept), tuple(left_out))


def once(members: Iterable[Member]) -> Series:
    """Each operation once, without those whose consent stands against it, whatever their vocabulary."""
    kept: list[Member] = []
    known: dict[object, Member] = {}
    left_out: list[LeftOut] = []
    for one in sorted(members, key=_order):
        reason = next(_of_operation(one, known), None)
        if reason is not None:
            left_out.append(reason)
            continue
        known |= dict.fromkeys(_marks(one.case), one)
        kept.append(one)
    return Series(tuple(kept), tuple(left_out))


def earlier(found: Series, this: Member) -> Series:
    """The cases before one, which is not among them; all others where its own number is not known."""
    others = [one for one in found.members if not is_same_operation(one, this)]
    before: list[Member] = []
    later: list[LeftOut] = []
    for one in others:
        if this.number is None or (one.number is not None and one.number < this.number):
            before.append(one)
        else:
            reason = "has no case number" if one.number is None else "is not earlier than this case"
            later.append(LeftOut(one.name, reason))
    return Series(tuple(before), (*found.left_out, *later))


def is_same_operation(one: Member, other: Member) -> bool:
    """Whether two cases are copies of one, or two people's tags of the same recordings."""
    return not _marks(one.case).isdisjoint(_marks(other.case))


def _marks(case: Case) -> frozenset[object]:
    """What two cases of one operation have in common: the id of the case, or what its recordings hold."""
    contents = tuple(recording.fingerprint for recording in case.recordings)
    return frozenset([case.id, contents] if all(contents) else [case.id])


def _order(one: Member) -> tuple[bool, int, str, str, str]:
    return one.number is None, one.number or 0, one.month, one.name, one.case.id


def _reasons(
    one: Member, known: Mapping[object, Member], vocabulary: Vocabulary, with_altered: bool
) -> Iterator[LeftOut]:
    altered = altered_of(one.case)
    yield from _of_operation(one, known)
    if one.case.vocabulary.iri != vocabulary.iri:
        yield LeftOut(one.name, "uses another vocabulary", f"its vocabulary is {one.case.vocabulary.name}")
    if altered and not with_altered:
        yield LeftOut(one.name, f"its recording is {' and '.join(altered)}")
    if one.case.running:
        yield LeftOut(one.name, "a tag is still running")


def _of_operation(one: Member, known: Mapping[object, Member]) -> Iterator[LeftOut]:
    same = next((known[mark] for mark in _marks(one.case) if mark in known), None)
    if same is not None:
        yield LeftOut(one.name, "is of an operation that counts already", f"as {same.name}")
    if one.case.fact(CONSENT) in _NO_CONSENT:
        yield LeftOut(one.name, _NO_CONSENT[one.case.fact(CONSENT)])


def _in_vocabulary(case: Case, vocabulary: Vocabulary) -> Case:
    if case.vocabulary == vocabulary:
        return replace(case, vocabulary=vocabulary)  # the same one, so that those of all cases are looked at once
    whole = with_own_terms(case, vocabulary)
    return replace_vocabulary(case, whole, carry(case, whole).tags).case
