"""The plain form of a vocabulary: dicts, lists and texts with SKOS names, as they stand in YAML and in a case file.

    iri: https://…/vocab/NAME      name, version: texts      title: {en: …}
    facets:   - name, label {en: …}, exclusive and moments (true or false, false where left out)
    concepts: - notation, facet, prefLabel {en: …}, altLabel {en: [… , …]}, definition {en: …}, scopeNote {en: …},
                broader (a notation), usuallyAfter, replaces (lists of notations), key (one character),
                inside, anyPhase (true or false, false where left out), beginsWhen and endsWhen {en: …},
                operatingTime (begins or ends), kinds (a list of names), rules, iri
    rules:      usualTime {least: "0:20", most: "20:00"}, usualPlace (a list of places), needsBefore, neverWith,
                expectedWith (lists of notations), changesPerformer (true or false)
    kinds:    - name, label {en: …}; may be left out

A concept's `iri` is left out where it is the vocabulary's with `#` and the notation behind it. A hierarchy, a key or a
usual order that makes no sense is read as it stands (`annotator.model.vocabulary_rules` finds it); only what would
make the vocabulary unusable is refused: wrong types, unknown or missing keys, and names that point nowhere or at two
things at once.
"""

from collections.abc import Collection, Iterator, Sequence
from typing import Any

from annotator.errors import InvalidVocabulary
from annotator.formats.faults import Faults, Path, PlaceOf
from annotator.formats.vocabulary.plain_values import PlainReader, print_length
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.vocabulary import Bound, Concept, Facet, Kind, Vocabulary

MOST_CONCEPTS = 5_000
MOST_FACETS = 100
MOST_KINDS = 100
WHAT = "This is not a valid vocabulary"

_NEEDED = ("iri", "name", "version", "title", "facets", "concepts")
_VOCABULARY_KEYS = (*_NEEDED, "kinds")
_FACET_KEYS = ("name", "label", "exclusive", "moments")
_KIND_KEYS = ("name", "label")
_RULE_KEYS = ("usualTime", "usualPlace", "needsBefore", "neverWith", "expectedWith", "changesPerformer")
_TIME_KEYS = ("least", "most")
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
    "beginsWhen",
    "endsWhen",
    "anyPhase",
    "operatingTime",
    "kinds",
    "rules",
    "iri",
)


def implied_iri(vocabulary_iri: str, notation: str) -> str:
    """The IRI of a concept that names none; where the vocabulary's has a # already, as it may have but once, with /."""
    return f"{vocabulary_iri}{'/' if '#' in vocabulary_iri else '#'}{notation}"


def to_plain(vocabulary: Vocabulary) -> dict[str, Any]:
    """A vocabulary as dicts, lists, texts and booleans; what is empty or implied is left out."""
    kinds = [{"name": kind.name, "label": dict(kind.label)} for kind in vocabulary.kinds]
    return {
        "iri": vocabulary.iri,
        "name": vocabulary.name,
        "version": vocabulary.version,
        "title": dict(vocabulary.title),
        **({"kinds": kinds} if kinds else {}),
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
        "beginsWhen": dict(concept.begins_when),
        "endsWhen": dict(concept.ends_when),
        "anyPhase": concept.any_phase,
        "operatingTime": concept.operating_time and concept.operating_time.value,
        "kinds": list(concept.kinds),
        "rules": _plain_rules(concept.rules),
        "iri": None if implied else concept.iri,
    }
    return {key: value for key, value in said.items() if value}


def _plain_rules(rules: Rules) -> dict[str, Any]:
    usual = {"least": rules.usual_time.least, "most": rules.usual_time.most}
    said = {
        "usualTime": {key: print_length(value) for key, value in usual.items() if value is not None},
        "usualPlace": list(rules.usual_place),
        **{key: list(notations) for key, notations in rules.named()},
        "changesPerformer": rules.changes_performer,
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


class _Reader(PlainReader):
    """Reads a plain form to its end."""

    def vocabulary(self, plain: object) -> Vocabulary:
        said = self.mapping((), plain, "a vocabulary", _VOCABULARY_KEYS, needed=_NEEDED)
        iri = self.iri(("iri",), said.get("iri"))
        facets = self.items(("facets",), said.get("facets"), MOST_FACETS)
        concepts = self.items(("concepts",), said.get("concepts"), MOST_CONCEPTS)
        kinds = self.items(("kinds",), said.get("kinds"), MOST_KINDS)
        return Vocabulary(
            iri=iri,
            name=self.notation(("name",), said.get("name")),
            version=self.text(("version",), said.get("version")),
            title=self.texts(("title",), said.get("title")),
            facets=tuple(self._facet(path, item) for path, item in facets),
            concepts=tuple(self._concept(path, item, iri) for path, item in concepts),
            kinds=tuple(self._kind(path, item) for path, item in kinds),
        )

    def _kind(self, path: Path, plain: object) -> Kind:
        said = self.mapping(path, plain, "a kind", _KIND_KEYS, needed=_KIND_KEYS)
        return Kind(
            name=self.notation((*path, "name"), said.get("name")),
            label=self.texts((*path, "label"), said.get("label")),
        )

    def _facet(self, path: Path, plain: object) -> Facet:
        said = self.mapping(path, plain, "a facet", _FACET_KEYS, needed=("name", "label"))
        return Facet(
            name=self.notation((*path, "name"), said.get("name")),
            label=self.texts((*path, "label"), said.get("label")),
            exclusive=self.flag((*path, "exclusive"), said.get("exclusive")),
            moments=self.flag((*path, "moments"), said.get("moments")),
        )

    def _concept(self, path: Path, plain: object, vocabulary_iri: str) -> Concept:
        said = self.mapping(path, plain, "a concept", _CONCEPT_KEYS, needed=("notation", "facet", "prefLabel"))
        notation = self.notation((*path, "notation"), said.get("notation"))
        iri = self.iri((*path, "iri"), said.get("iri"))
        return Concept(
            iri=iri or implied_iri(vocabulary_iri, notation),
            notation=notation,
            facet=self.notation((*path, "facet"), said.get("facet")),
            pref_label=self.texts((*path, "prefLabel"), said.get("prefLabel")),
            alt_label=self.synonyms((*path, "altLabel"), said.get("altLabel")),
            definition=self.texts((*path, "definition"), said.get("definition")),
            scope_note=self.texts((*path, "scopeNote"), said.get("scopeNote")),
            broader=self.notation((*path, "broader"), said.get("broader")) or None,
            key=self.text((*path, "key"), said.get("key")),
            usually_after=self.notations((*path, "usuallyAfter"), said.get("usuallyAfter")),
            replaces=self.notations((*path, "replaces"), said.get("replaces")),
            inside=self.flag((*path, "inside"), said.get("inside")),
            begins_when=self.texts((*path, "beginsWhen"), said.get("beginsWhen")),
            ends_when=self.texts((*path, "endsWhen"), said.get("endsWhen")),
            any_phase=self.flag((*path, "anyPhase"), said.get("anyPhase")),
            operating_time=self.member((*path, "operatingTime"), said.get("operatingTime"), Bound),
            kinds=self.notations((*path, "kinds"), said.get("kinds")),
            rules=self._rules((*path, "rules"), said.get("rules")),
        )

    def _rules(self, path: Path, plain: object) -> Rules:
        if plain is None:
            return Rules()
        said = self.mapping(path, plain, "a set of rules", _RULE_KEYS)
        return Rules(
            usual_time=self._usual_time((*path, "usualTime"), said.get("usualTime")),
            usual_place=self.listed_texts((*path, "usualPlace"), said.get("usualPlace")),
            needs_before=self.notations((*path, "needsBefore"), said.get("needsBefore")),
            never_with=self.notations((*path, "neverWith"), said.get("neverWith")),
            expected_with=self.notations((*path, "expectedWith"), said.get("expectedWith")),
            changes_performer=self.flag((*path, "changesPerformer"), said.get("changesPerformer")),
        )

    def _usual_time(self, path: Path, plain: object) -> UsualTime:
        if plain is None:
            return UsualTime()
        said = self.mapping(path, plain, "a usual time", _TIME_KEYS)
        return UsualTime(
            least=self.length((*path, "least"), said.get("least")),
            most=self.length((*path, "most"), said.get("most")),
        )


def _check_names(vocabulary: Vocabulary, faults: Faults) -> None:
    """Two things under one name, and names that nothing answers to."""
    facets = [facet.name for facet in vocabulary.facets]
    kinds = [kind.name for kind in vocabulary.kinds]
    notations = vocabulary.by_notation
    _check_unique(faults, "facets", "name", facets)
    _check_unique(faults, "kinds", "name", kinds)
    _check_unique(faults, "concepts", "notation", [concept.notation for concept in vocabulary.concepts])
    if len(notations) == len(vocabulary.concepts):
        _check_unique(faults, "concepts", "iri", [concept.iri for concept in vocabulary.concepts])
    known: dict[str, Collection[str]] = {"facet": facets, "kind": kinds, "concept": notations}
    for index, concept in enumerate(vocabulary.concepts):
        for path, what, name in _names_in(concept):
            if name not in known[what]:
                faults.add(("concepts", index, *path), f"there is no {what} “{name}”", name, known[what])


def _names_in(concept: Concept) -> Iterator[tuple[Path, str, str]]:
    """Where a concept names other things, what each is, and its name."""
    yield ("facet",), "facet", concept.facet
    if concept.broader is not None:
        yield ("broader",), "concept", concept.broader
    for earlier in concept.usually_after:
        yield ("usuallyAfter",), "concept", earlier
    for kind in concept.kinds:
        yield ("kinds",), "kind", kind
    for key, notations in concept.rules.named():
        for notation in notations:
            yield ("rules", key), "concept", notation


def _check_unique(faults: Faults, of: str, key: str, names: Sequence[str]) -> None:
    first: dict[str, int] = {}
    for index, name in enumerate(names):
        if first.setdefault(name, index) != index:
            earlier = faults.place_of((of, first[name], key))
            faults.add((of, index, key), f"the {key} “{name}” is taken already ({earlier}); each needs its own")
