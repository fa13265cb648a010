"""Find tags in a library: by what they are, who did it, where, the words of their notes, and how they lie to others."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import reduce
from operator import or_
from typing import Final, NamedTuple

from annotator.library import names
from annotator.library.library import CaseEntry, Library
from annotator.measure.over_cases.relations import Relation, holds
from annotator.measure.stays import Stay, stays
from annotator.model.place import Eye
from annotator.model.timecode import Ms

_TAGS: Final = "SELECT id, of_case, term, start, end, performer, inner_place, outer_place FROM tags"
_OF_CONCEPT: Final = """(term IN (SELECT value FROM json_each(?))
    OR id IN (SELECT tag FROM settled WHERE term IN (SELECT value FROM json_each(?))))"""
_WITH_WORDS: Final = "id IN (SELECT rowid FROM words WHERE words MATCH ?)"
_BY: Final = "performer IN (SELECT value FROM json_each(?))"
_AT: Final = "(inner_place & ? OR outer_place & ?)"
_AMONG: Final = "of_case IN (SELECT value FROM json_each(?))"


_Condition = tuple[str, tuple[str | int, ...]]
"""What is true of a row of the tags, and the values in it."""


class Question(NamedTuple):
    """What is looked for; whatever is left empty is not asked.

    what       a concept, by any of its names; what is narrower counts too
    relations  how it lies to other concepts of the same case, each by any of its names
    words      that its note, its strength or its own words hold, in any order
    among      facts that are true of the case, as name and value
    """

    what: str = ""
    relations: Sequence[tuple[Relation, str]] = ()
    performer: str = ""
    place: str = ""
    words: str = ""
    among: Sequence[tuple[str, str]] = ()


class Found(NamedTuple):
    """A tag that was found.

    number  of the tag in the index
    term    number of its concept in the index
    time    that it covers within its case, in ms
    """

    case: CaseEntry
    number: int
    term: int
    time: Stay
    performer: str | None


def find(library: Library, question: Question) -> list[Found]:
    """The tags of which all is true that is asked, in the order of the cases and of time.

    Raises UnknownName, AmbiguousName, InvalidEdit for what is no name or no place.
    """
    others = [(relation, occurrences(library, names.meant(library, name))) for relation, name in question.relations]
    found = [
        one
        for one in _tags(library, question)
        if all(holds(relation, one.time, there.get(one.case.number, ())) for relation, there in others)
    ]
    rank = {number: at for at, number in enumerate(library.cases)}
    return sorted(found, key=lambda one: (rank[one.case.number], one.time, one.number))


def left_out(library: Library, question: Question) -> str:
    """Which cases can't be asked, as a sentence; empty where all can."""
    if not question.place:
        return ""
    eyes = names.places(question.place)
    cases = names.among(library, question.among)
    without = sum(number in cases and entry.eye not in eyes for number, entry in library.cases.items())
    if not without:
        return ""
    say = "case does" if without == 1 else "cases do"
    return f"{without:,} {say} not say which eye it is, and {question.place} depends on it"


def occurrences(library: Library, meant: names.Meant) -> Mapping[int, Sequence[Stay]]:
    """By the number of each case in which it occurs: its occurrences, disjoint and in order."""
    ranges: dict[int, list[Stay]] = {}
    for _, case, _, start, end, *_ in _rows(library, [(_OF_CONCEPT, (meant.always, meant.settled))]):
        entry = library.cases.get(case)
        time = None if entry is None else within_case(entry, start, end)
        if time is not None:
            ranges.setdefault(case, []).append(time)
    return {case: stays(some) for case, some in ranges.items()}


def within_case(case: CaseEntry, start: Ms, end: Ms | None) -> Stay | None:
    """What of a tag lies within its case, as `measure.counted` has it: a running one covers the rest; None of none."""
    last = case.duration
    finish = last if end is None else end
    if finish < 0 or start > last or (start == last and end != start):
        return None
    return max(start, 0), min(finish, last)


def _tags(library: Library, question: Question) -> Iterator[Found]:
    """Those of which all is true but how they lie to others."""
    cases = names.among(library, question.among)
    codes = names.performers(library, question.performer) if question.performer else None
    places = names.places(question.place) if question.place else None
    narrowed = _narrowed(library, question, cases, codes, places)
    for number, case, term, start, end, performer, inner, outer in _rows(library, narrowed):
        if case not in cases:
            continue
        entry = library.cases[case]
        is_by = codes is None or codes.get(entry.roles, "") == performer
        time = within_case(entry, start, end)
        if is_by and time is not None and (places is None or _is_at((inner, outer), places.get(entry.eye))):
            yield Found(entry, number, term, time, performer)


def _narrowed(
    library: Library,
    question: Question,
    cases: frozenset[int],
    codes: Mapping[int, str] | None,
    places: Mapping[Eye | None, names.Bits] | None,
) -> Iterator[_Condition]:
    """What the index itself can tell: of roles and places only whether they may be meant, as each case has its own."""
    if question.what:
        meant = names.meant(library, question.what)
        yield _OF_CONCEPT, (meant.always, meant.settled)
    if question.words:
        yield _WITH_WORDS, (_as_typed(question.words),)
    if codes is not None:
        yield _BY, (json.dumps(sorted(set(codes.values()))),)
    if places is not None:
        yield _AT, tuple(reduce(or_, half) for half in zip(*places.values(), strict=True))
    if question.among:
        yield _AMONG, (json.dumps(sorted(cases)),)


def _rows(library: Library, narrowed: Iterable[_Condition]) -> sqlite3.Cursor:
    conditions = ["TRUE"]
    values: list[str | int] = []
    for condition, those in narrowed:
        conditions.append(condition)
        values += those
    return library.index.execute(f"{_TAGS} WHERE {' AND '.join(conditions)}", values)


def _is_at(place: names.Bits, asked: names.Bits | None) -> bool:
    return asked is not None and bool(place[0] & asked[0] or place[1] & asked[1])


def _as_typed(words: str) -> str:
    """All of the words, each as the beginning of one, in the language of the full-text search; nothing else acts."""
    return " ".join(f'"{word}"*' for word in words.replace('"', " ").replace("\0", " ").split()) or '""'


def notes(library: Library, found: Sequence[Found]) -> Mapping[int, str]:
    """By the number of a tag: its strength, its own words and its note."""
    asked = json.dumps([one.number for one in found])
    rows = library.index.execute(
        "SELECT rowid, said FROM words WHERE rowid IN (SELECT value FROM json_each(?))", (asked,)
    )
    return dict(rows.fetchall())


def terms(library: Library) -> Mapping[int, tuple[int, str]]:
    """By the number of a term: that of its vocabulary, and its IRI."""
    return {number: (vocabulary, iri) for number, vocabulary, iri in library.index.execute("SELECT * FROM terms")}
