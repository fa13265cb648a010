"""What a name means in each case: in that case's own vocabulary, resolved as everywhere."""

import json
from collections.abc import Iterable, Mapping
from functools import partial
from typing import NamedTuple

from annotator.errors import InvalidEdit, UnknownName
from annotator.library.entries import bits_of
from annotator.library.library import Library
from annotator.measure.before_export import CONSENT, NOT_GIVEN, WITHDRAWN
from annotator.model.facts import Fact
from annotator.model.place import Eye, parse_place
from annotator.model.vocabulary import Concept
from annotator.model.words.forms import folded
from annotator.store.facts import find_facts

Bits = tuple[int, int]


class Meant(NamedTuple):
    """What a name means.

    concept       as the vocabulary of most cases has it
    vocabularies  the numbers of those that know it
    always        numbers of the terms whose tags count for it wherever they lie, as JSON
    settled       numbers of the terms for which tags count by where they lie, as JSON
    """

    concept: Concept
    vocabularies: frozenset[int]
    always: str
    settled: str


def meant(library: Library, name: str) -> Meant:
    """The concept of a name, with all that is narrower, in each vocabulary of the library.

    Raises UnknownName with the nearest names where none knows it, AmbiguousName where it can mean several.
    """
    found = {
        number: concept
        for number, vocabulary in library.vocabularies.items()
        if (concept := vocabulary.called(name)) is not None
    }
    if not found:
        raise _unknown(library, name)
    always = [
        (number, one.iri)
        for number, concept in found.items()
        for one in library.vocabularies[number].narrower[concept.notation]
        if concept in library.vocabularies[number].always_counts_for(one)
    ]
    return Meant(
        next(iter(found.values())),
        frozenset(found),
        _numbers(library, always),
        _numbers(library, ((number, concept.iri) for number, concept in found.items())),
    )


def _unknown(library: Library, name: str) -> UnknownName:
    """What the vocabulary of most cases says of the name; with a strength it is one of a material, which is no tag."""
    for vocabulary in library.vocabularies.values():
        try:
            near = (vocabulary.meaning(name).concept.label(),)
        except UnknownName as error:
            return error
        return UnknownName("concept", name, near, partial(tuple, near))
    return UnknownName("concept", name, ())


def _numbers(library: Library, terms: Iterable[tuple[int, str]]) -> str:
    query = "SELECT id FROM terms WHERE vocabulary = ? AND iri = ?"
    found = (library.index.execute(query, term).fetchone() for term in terms)
    return json.dumps([row[0] for row in found if row is not None])


def performers(library: Library, words: str) -> Mapping[int, str]:
    """The code of the role that is meant, by the number of each list that knows it.

    Raises UnknownName with the roles there are where no list does.
    """
    found: dict[int, str] = {}
    unknown: UnknownName | None = None
    for number, roles in library.roles.items():
        try:
            found[number] = roles.meant(words).code
        except UnknownName as error:
            unknown = unknown or error
    if not found:
        raise unknown or UnknownName("performer", words, ())
    return found


def places(text: str) -> Mapping[Eye | None, Bits]:
    """A place as bits for each eye in which it is one; None: where nobody says which eye it is. Raises InvalidEdit."""
    found: dict[Eye | None, Bits] = {}
    for eye in (None, *Eye):
        try:
            found[eye] = bits_of(parse_place(text, eye))
        except InvalidEdit:
            if eye is Eye.LEFT and not found:
                raise
    return found


def among(library: Library, asked: Iterable[tuple[str, str]]) -> frozenset[int]:
    """The numbers of the cases of which all facts are true; a fact that is given twice may be either.

    Raises UnknownName for what is no fact, InvalidEdit or UnknownName for what can't be said of it.
    """
    wanted: dict[str, set[str]] = {}
    for name, words in asked:
        fact = _fact(library, name, words)
        wanted.setdefault(fact.name, set()).add(fact.value)
    found = frozenset(library.cases)
    for name, values in wanted.items():
        rows = library.index.execute(
            "SELECT of_case FROM facts WHERE name = ? AND value IN (SELECT value FROM json_each(?))",
            (name, json.dumps(sorted(values))),
        )
        found &= {number for (number,) in rows}
    return found


def without_consent(library: Library) -> frozenset[int]:
    """The numbers of the cases whose consent is withdrawn, or was not given: they do not count."""
    query = "SELECT of_case FROM facts WHERE name = ? AND value IN (SELECT value FROM json_each(?))"
    rows = library.index.execute(query, (CONSENT, json.dumps([NOT_GIVEN, WITHDRAWN])))
    return frozenset(number for (number,) in rows)


def _fact(library: Library, name: str, words: str) -> Fact:
    """A fact of the list by any of its names; kind, vocabulary and what only cases know, as the cases say it."""
    listed = find_facts()
    code = listed.code_of(name)
    if code in listed.by_code:
        return listed.meant(code, words, names_nobody=True)
    code = _one_of("fact", name, dict.fromkeys([*library.facts, *listed.by_code]))
    return Fact(code, _one_of(f"{code} among these cases", words, library.facts.get(code, ())))


def _one_of(kind: str, said: str, known: Iterable[str]) -> str:
    by_folded = {folded(one): one for one in known}
    found = by_folded.get(folded(said))
    if found is None:
        raise UnknownName(kind, said, by_folded.values())
    return found
