"""Find tags in a library: by what they are, who did it, where, the words of their notes, and how they lie to others."""

import json
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from annotator.library import names
from annotator.library.library import CaseEntry, Library
from annotator.measure.over_cases.relations import Relation, holds
from annotator.measure.stays import Stay, stays
from annotator.model.timecode import Ms

_TAGS: Final = "SELECT id, of_case, term, start, end, performer, inner_place, outer_place FROM tags"
_OF_CONCEPT: Final = f"""{_TAGS} WHERE term IN (SELECT value FROM json_each(?))
    OR id IN (SELECT tag FROM settled WHERE term IN (SELECT value FROM json_each(?)))"""  # noqa: S608  # our own words


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
    return sorted(found, key=lambda one: (one.case.name, one.time, one.number))


def occurrences(library: Library, meant: names.Meant) -> Mapping[int, Sequence[Stay]]:
    """By the number of each case in which it occurs: its occurrences, disjoint and in order."""
    ranges: dict[int, list[Stay]] = {}
    for _, case, _, start, end, *_ in _rows(library, meant):
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
    cases = names.among(library, question.among)
    codes = names.performers(library, question.performer) if question.performer else None
    places = names.places(question.place) if question.place else None
    meant = names.meant(library, question.what) if question.what else None
    said = None if not question.words else _with_words(library, question.words)
    for number, case, term, start, end, performer, inner, outer in _rows(library, meant):
        if case not in cases or (said is not None and number not in said):
            continue
        entry = library.cases[case]
        if codes is not None and codes.get(entry.roles, "") != performer:
            continue
        if places is not None:
            asked_inner, asked_outer = places.get(entry.eye, (0, 0))
            if not (inner & asked_inner or outer & asked_outer):
                continue
        time = within_case(entry, start, end)
        if time is not None:
            yield Found(entry, number, term, time, performer)


def _rows(library: Library, meant: names.Meant | None) -> sqlite3.Cursor:
    """The tags that count for a concept, or all of them."""
    if meant is None:
        return library.index.execute(_TAGS)
    return library.index.execute(_OF_CONCEPT, (meant.always, meant.settled))


def _with_words(library: Library, words: str) -> frozenset[int]:
    """The numbers of the tags whose text holds all of the words, or words that begin so."""
    asked = " ".join(f'"{word}"*' for word in words.replace('"', " ").replace("\0", " ").split())
    if not asked:
        return frozenset()
    rows = library.index.execute("SELECT rowid FROM words WHERE words MATCH ?", (asked,))
    return frozenset(number for (number,) in rows)


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
