"""The plain form of a vocabulary: dicts, lists and texts with SKOS names, as they stand in YAML and in a case file.

    iri: https://…/vocab/NAME      name, version: texts      title: {en: …}
    facets:   - name, label {en: …}, exclusive and moments (true or false, false where left out)
    concepts: - notation, facet, prefLabel {en: …}, altLabel {en: [… , …]}, definition {en: …}, scopeNote {en: …},
                broader (a notation), usuallyAfter, replaces (lists of notations), key (one character),
                inside (true or false, false where left out), iri

A concept's `iri` is left out where it is the vocabulary's with `#` and the notation behind it. A hierarchy, a key or a
usual order that makes no sense is read as it stands (`annotator.model.vocabulary_rules` finds it); only what would
make the vocabulary unusable is refused: wrong types, unknown or missing keys, and names that point nowhere or at two
things at once.
"""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from annotator.errors import InvalidVocabulary
from annotator.formats.faults import LONGEST_NAME, Faults, Path, PlaceOf, fault_of_text, short
from annotator.model.vocabulary import Concept, Facet, Vocabulary

MOST_CONCEPTS = 5_000
MOST_FACETS = 100
WHAT = "This is not a valid vocabulary"

_VOCABULARY_KEYS = ("iri", "name", "version", "title", "facets", "concepts")
_FACET_KEYS = ("name", "label", "exclusive", "moments")
_CONCEPT_KEYS = (
    "notation",
    "facet",
    "prefLabel",
    "altLabel",
    "definition",
    "scopeNote",
    "broader",
    "key",
    "usuallyAfter",
    "replaces",
    "inside",
    "iri",
)

# RFC 3987 leaves these out of every IRI; a scheme and something behind it must be there.
_IRI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:[^\s<>\"{}|\\^`\x00-\x20]+")
# The shape of a language tag (RFC 5646, section 2.1); whether its parts are registered is not looked up.
_LANGUAGE = re.compile(r"(?:[A-Za-z]{2,8}|[xXiI](?=-))(?:-[A-Za-z0-9]{1,8})*")
# What may stand behind the # of an IRI as it is, so that a notation always makes one.
_NOTATION = re.compile(r"[^\W_](?:[\w.~-]*\w)?")


def implied_iri(vocabulary_iri: str, notation: str) -> str:
    """The IRI of a concept that names none; where the vocabulary's has a # already, as it may have but once, with /."""
    return f"{vocabulary_iri}{'/' if '#' in vocabulary_iri else '#'}{notation}"


def to_plain(vocabulary: Vocabulary) -> dict[str, Any]:
    """A vocabulary as dicts, lists, texts and booleans; what is empty or implied is left out."""
    return {
        "iri": vocabulary.iri,
        "name": vocabulary.name,
        "version": vocabulary.version,
        "title": dict(vocabulary.title),
        "facets": [_plain_facet(facet) for facet in vocabulary.facets],
        "concepts": [_plain_concept(concept, vocabulary.iri) for concept in vocabulary.concepts],
    }


def _plain_facet(facet: Facet) -> dict[str, Any]:
    plain: dict[str, Any] = {"name": facet.name, "label": dict(facet.label)}
    if facet.exclusive:
        plain["exclusive"] = True
    if facet.moments:
        plain["moments"] = True
    return plain


def _plain_concept(concept: Concept, vocabulary_iri: str) -> dict[str, Any]:
    implied = concept.iri == implied_iri(vocabulary_iri, concept.notation)
    said = {
        "notation": concept.notation,
        "facet": concept.facet,
        "prefLabel": dict(concept.pref_label),
        "altLabel": {language: list(synonyms) for language, synonyms in concept.alt_label.items()},
        "definition": dict(concept.definition),
        "scopeNote": dict(concept.scope_note),
        "broader": concept.broader,
        "key": concept.key,
        "usuallyAfter": list(concept.usually_after),
        "replaces": list(concept.replaces),
        "inside": concept.inside,
        "iri": None if implied else concept.iri,
    }
    return {key: value for key, value in said.items() if value}


def from_plain(plain: object, place_of: PlaceOf | None = None) -> Vocabulary:
    """The vocabulary that a plain form says.

    `place_of` words where a fault stands, such as “line 12”. Raises InvalidVocabulary with every fault found.
    """
    faults = Faults(place_of or _place_in_form)
    vocabulary = _Reader(faults).vocabulary(plain)
    if not faults.said:
        _check_names(vocabulary, faults)
    if faults.said:
        raise InvalidVocabulary(WHAT, faults.said, faults.more)
    return vocabulary


def _place_in_form(path: Path) -> str:
    """`concepts 4, prefLabel, en`; things in a list are counted from 1."""
    words: list[str] = []
    for step in path:
        if isinstance(step, int) and words:
            words[-1] += f" {step + 1}"
        else:
            words.append(str(step))
    return ", ".join(words)


class _Reader:
    """Reads a plain form to its end, noting every fault; what it returns holds only if there was none.

    A missing value (None) is read as nothing: where it is needed, `_mapping` has said so already.
    """

    def __init__(self, faults: Faults) -> None:
        self._faults = faults

    def vocabulary(self, plain: object) -> Vocabulary:
        said = self._mapping((), plain, "a vocabulary", _VOCABULARY_KEYS, needed=_VOCABULARY_KEYS)
        iri = self._iri(("iri",), said.get("iri"))
        facets = self._items(("facets",), said.get("facets"), MOST_FACETS)
        concepts = self._items(("concepts",), said.get("concepts"), MOST_CONCEPTS)
        return Vocabulary(
            iri=iri,
            name=self._notation(("name",), said.get("name")),
            version=self._text(("version",), said.get("version")),
            title=self._texts(("title",), said.get("title")),
            facets=tuple(self._facet(path, item) for path, item in facets),
            concepts=tuple(self._concept(path, item, iri) for path, item in concepts),
        )

    def _facet(self, path: Path, plain: object) -> Facet:
        said = self._mapping(path, plain, "a facet", _FACET_KEYS, needed=("name", "label"))
        return Facet(
            name=self._notation((*path, "name"), said.get("name")),
            label=self._texts((*path, "label"), said.get("label")),
            exclusive=self._flag((*path, "exclusive"), said.get("exclusive")),
            moments=self._flag((*path, "moments"), said.get("moments")),
        )

    def _concept(self, path: Path, plain: object, vocabulary_iri: str) -> Concept:
        said = self._mapping(path, plain, "a concept", _CONCEPT_KEYS, needed=("notation", "facet", "prefLabel"))
        notation = self._notation((*path, "notation"), said.get("notation"))
        iri = self._iri((*path, "iri"), said.get("iri"))
        return Concept(
            iri=iri or implied_iri(vocabulary_iri, notation),
            notation=notation,
            facet=self._notation((*path, "facet"), said.get("facet")),
            pref_label=self._texts((*path, "prefLabel"), said.get("prefLabel")),
            alt_label=self._synonyms((*path, "altLabel"), said.get("altLabel")),
            definition=self._texts((*path, "definition"), said.get("definition")),
            scope_note=self._texts((*path, "scopeNote"), said.get("scopeNote")),
            broader=self._notation((*path, "broader"), said.get("broader")) or None,
            key=self._text((*path, "key"), said.get("key")),
            usually_after=self._notations((*path, "usuallyAfter"), said.get("usuallyAfter")),
            replaces=self._notations((*path, "replaces"), said.get("replaces")),
            inside=self._flag((*path, "inside"), said.get("inside")),
        )

    def _mapping(
        self, path: Path, plain: object, what: str, keys: Sequence[str], needed: Sequence[str]
    ) -> Mapping[str, object]:
        if not isinstance(plain, Mapping):
            self._faults.add(path, f"{what} is written as “name: value” pairs, the first {keys[0]}")
            return {}
        for key in plain:
            if key not in keys:
                self._faults.add((*path, short(key)), f"{what} has no “{short(key)}”", str(key), keys)
        for key in needed:
            if plain.get(key) is None:
                self._faults.add(path, f"{what} needs “{key}”")
        return plain

    def _items(self, path: Path, plain: object, most: int) -> Iterator[tuple[Path, object]]:
        if plain is None:
            return
        if not isinstance(plain, list):
            self._faults.add(path, f"the {path[-1]} are written as a list, each with a dash before it")
        elif len(plain) > most:
            self._faults.add(path, f"{len(plain)} {path[-1]} are more than the {most} that are read; leave some out")
        else:
            yield from (((*path, index), item) for index, item in enumerate(plain))

    def _text(self, path: Path, plain: object) -> str:
        if plain is None:
            return ""
        fault = fault_of_text(plain)
        if fault:
            self._faults.add(path, fault)
        return "" if fault else str(plain)

    def _iri(self, path: Path, plain: object) -> str:
        text = self._text(path, plain)
        if text and not _IRI.fullmatch(text):
            self._faults.add(
                path, f"“{short(text)}” is not an IRI; write one such as https://department.example/vocab/ours"
            )
        return text

    def _notation(self, path: Path, plain: object) -> str:
        text = self._text(path, plain)
        if text and (len(text) > LONGEST_NAME or not _NOTATION.fullmatch(text)):
            self._faults.add(
                path,
                f"“{short(text)}” is not a short name; use letters, digits and hyphens, such as base-shaving",
            )
        return text

    def _notations(self, path: Path, plain: object) -> tuple[str, ...]:
        if plain is None:
            return ()
        if not isinstance(plain, list):
            self._faults.add(path, "this must be a list of notations, such as [core-vitrectomy, base-shaving]")
            return ()
        return tuple(self._notation((*path, index), _there(item)) for index, item in enumerate(plain))

    def _flag(self, path: Path, plain: object) -> bool:
        if plain is not None and not isinstance(plain, bool):
            self._faults.add(path, f"“{short(plain)}” is neither true nor false")
        return plain is True

    def _by_language(self, path: Path, plain: object, example: str) -> Iterator[tuple[str, object]]:
        if plain is None:
            return
        if not isinstance(plain, Mapping) or not plain:
            self._faults.add(path, f"this must be given by language, such as {example}")
            return
        spelled: dict[str, str] = {}
        for language, value in plain.items():
            if not isinstance(language, str) or not _LANGUAGE.fullmatch(language):
                self._faults.add(path, f"“{short(language)}” is not a language tag; write one such as en or de-AT")
            elif spelled.setdefault(language.lower(), language) != language:
                self._faults.add(path, f"“{spelled[language.lower()]}” and “{language}” are one language (SKOS S14)")
            else:
                yield language, _there(value)

    def _texts(self, path: Path, plain: object) -> Mapping[str, str]:
        said = self._by_language(path, plain, "{en: Core vitrectomy}")
        return {language: self._text((*path, language), text) for language, text in said}

    def _synonyms(self, path: Path, plain: object) -> Mapping[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        for language, texts in self._by_language(path, plain, "{en: [core, central vitrectomy]}"):
            if isinstance(texts, list):
                places = (((*path, language, index), _there(text)) for index, text in enumerate(texts))
                found[language] = tuple(self._text(place, text) for place, text in places)
            else:
                self._faults.add((*path, language), "synonyms must be a list, such as [core, central vitrectomy]")
        return found


def _check_names(vocabulary: Vocabulary, faults: Faults) -> None:
    """Two things under one name, and names that nothing answers to."""
    facets = [facet.name for facet in vocabulary.facets]
    notations = vocabulary.by_notation
    _check_unique(faults, "facets", "name", facets)
    _check_unique(faults, "concepts", "notation", [concept.notation for concept in vocabulary.concepts])
    if len(notations) == len(vocabulary.concepts):
        _check_unique(faults, "concepts", "iri", [concept.iri for concept in vocabulary.concepts])
    for index, concept in enumerate(vocabulary.concepts):
        names = [("facet", "facet", concept.facet), ("broader", "concept", concept.broader)]
        names += [("usuallyAfter", "concept", earlier) for earlier in concept.usually_after]
        for key, kind, name in names:
            known: Collection[str] = facets if kind == "facet" else notations
            if name is not None and name not in known:
                faults.add(("concepts", index, key), f"there is no {kind} “{name}”", name, known)


def _check_unique(faults: Faults, of: str, key: str, names: Sequence[str]) -> None:
    first: dict[str, int] = {}
    for index, name in enumerate(names):
        if first.setdefault(name, index) != index:
            earlier = faults.place_of((of, first[name], key))
            faults.add((of, index, key), f"the {key} “{name}” is taken already ({earlier}); each needs its own")


def _there(value: object) -> object:
    """A value inside a list or a mapping: None there is no leaving out, but a fault."""
    return "" if value is None else value
