"""What of a case goes into the index, and what is taken out again."""

from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256
from sqlite3 import Connection
from typing import Final, NamedTuple
from zlib import compress

import msgspec

from annotator.library.tree import CaseFile
from annotator.measure.durations import altered_of
from annotator.measure.rollup import is_free, settled_lines
from annotator.model.case import Case, Tag
from annotator.model.place import FIELDS, Place
from annotator.model.roles import Roles
from annotator.model.vocabulary import Vocabulary

_HALF: Final = len(FIELDS) // 2
"""Fields of a place in each of two numbers: SQLite's have 64 bits, and there are more fields."""

_BITS: Final = {field: 1 << number for number, field in enumerate(FIELDS)}


def bits_of(place: Place) -> tuple[int, int]:
    """A place as two numbers, of which each field is a bit in one."""
    whole = sum(_BITS[field] for field in place)
    return whole & ((1 << _HALF) - 1), whole >> _HALF


def facts_of(case: Case) -> dict[str, str]:
    """What the case says of the operation as a whole, by name."""
    said = {KIND: case.kind, VOCABULARY: case.vocabulary.name} | {fact.name: fact.value for fact in case.all_facts}
    return {name: value for name, value in said.items() if value}


KIND: Final = "kind"
VOCABULARY: Final = "vocabulary"
"""What is asked for as facts are, though cases keep it elsewhere."""


class _Known(NamedTuple):
    """A vocabulary, its number in the index, and the categories of which some tags count for what they lie in."""

    vocabulary: Vocabulary
    number: int
    settling: Sequence[str]


class Writer:
    """Puts cases into the index and takes them out, in a transaction that the caller holds."""

    def __init__(self, index: Connection) -> None:
        self._index = index
        self._last: _Known | None = None
        self._terms: dict[tuple[int, str], int] = {}

    def remove(self, names: Iterable[str]) -> None:
        """Take out files, whatever was known of them."""
        for name in names:
            found = self._index.execute("SELECT id FROM cases WHERE name = ?", (name,)).fetchone()
            if found is None:
                continue
            self._index.execute("DELETE FROM words WHERE rowid IN (SELECT id FROM tags WHERE of_case = ?)", found)
            for table in ("tags", "settled", "facts"):
                self._index.execute(f"DELETE FROM {table} WHERE of_case = ?", found)  # noqa: S608  # our own names
            self._index.execute("DELETE FROM cases WHERE id = ?", found)

    def put_fault(self, file: CaseFile, fault: str) -> None:
        """Keep why a file can't be read, or that it holds no case where `fault` is empty."""
        self._index.execute("INSERT INTO cases (name, stamp, fault) VALUES (?, ?, ?)", (file.name, file.stamp, fault))

    def put(self, file: CaseFile, case: Case, revision: int) -> None:
        """Keep what a case says."""
        known = self._vocabulary(case.vocabulary)
        number = self._index.execute(
            "INSERT INTO cases (name, stamp, fault, vocabulary, iri, revision, blind_to, title, eye, duration,"
            " is_altered, roles) VALUES (?, ?, '', ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            (
                file.name,
                file.stamp,
                known.number,
                case.id,
                revision,
                case.blind_to,
                case.title,
                case.eye,
                case.duration,
                bool(altered_of(case)),
                self._roles(case.roles),
            ),
        ).lastrowid
        if number is None:
            raise RuntimeError("SQLite numbers each row that is inserted")
        facts = facts_of(case).items()
        self._index.executemany("INSERT INTO facts VALUES (?, ?, ?)", [(number, *fact) for fact in facts])
        self._put_tags(number, known, case)

    def _put_tags(self, number: int, known: _Known, case: Case) -> None:
        first = (self._index.execute("SELECT max(id) FROM tags").fetchone()[0] or 0) + 1
        numbered = list(enumerate(case.tags, first))
        self._index.executemany(
            "INSERT INTO tags VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [
                (
                    at,
                    number,
                    self._term(known.number, tag.concept),
                    tag.start,
                    tag.end,
                    tag.performer,
                    *bits_of(tag.place),
                    tag.confirmed,
                )
                for at, tag in numbered
            ],
        )
        said = [(at, " · ".join(words)) for at, tag in numbered if (words := _words_of(tag))]
        self._index.executemany("INSERT INTO words (rowid, said) VALUES (?, ?)", said)
        by_id = {tag.id: at for at, tag in numbered}
        self._index.executemany(
            "INSERT INTO settled VALUES (?, ?, ?)",
            [(by_id[tag], number, self._term(known.number, iri)) for tag, iri in _settled(case, known.settling)],
        )

    def _vocabulary(self, vocabulary: Vocabulary) -> _Known:
        """What is known of it; it is written where it is new, by what it says: many are called alike."""
        if self._last is None or self._last.vocabulary is not vocabulary:
            data = msgspec.json.encode(vocabulary)
            row = (sha256(data).digest(), compress(data, 1))
            self._index.execute("INSERT OR IGNORE INTO vocabularies (digest, data) VALUES (?, ?)", row)
            found = self._index.execute("SELECT id FROM vocabularies WHERE digest = ?", row[:1]).fetchone()
            self._last = _Known(vocabulary, int(found[0]), _facets_that_settle(vocabulary))
        return self._last

    def _roles(self, roles: Roles) -> int:
        data = (msgspec.json.encode(roles),)
        self._index.execute("INSERT OR IGNORE INTO roles (data) VALUES (?)", data)
        return int(self._index.execute("SELECT id FROM roles WHERE data = ?", data).fetchone()[0])

    def _term(self, vocabulary: int, iri: str) -> int:
        key = (vocabulary, iri)
        if key not in self._terms:
            self._index.execute("INSERT OR IGNORE INTO terms (vocabulary, iri) VALUES (?, ?)", key)
            found = self._index.execute("SELECT id FROM terms WHERE vocabulary = ? AND iri = ?", key).fetchone()
            self._terms[key] = int(found[0])
        return self._terms[key]


def _words_of(tag: Tag) -> list[str]:
    return [text for text in (tag.strength, tag.words, tag.note) if text]


def _settled(case: Case, settling: Sequence[str]) -> Iterator[tuple[str, str]]:
    """By tag id the concepts that it counts for by where it lies; with nothing around it, those of its own concept."""
    for facet in settling:
        for tag, line in settled_lines(case, facet).items():
            own = case.concept_of(case.by_id[tag])
            counts_for = line or (case.vocabulary.lineage(own, facet) if own else ())
            yield from ((tag, concept.iri) for concept in counts_for)


def _facets_that_settle(vocabulary: Vocabulary) -> list[str]:
    found = {
        above.facet
        for concept in vocabulary.concepts
        for above in vocabulary.ancestors(concept)
        if is_free(vocabulary, concept, above.facet)
    }
    return sorted(found)
