"""A vocabulary as it stands in a case file: its plain form in JSON-LD, every concept under its IRI.

A concept names others by IRI here, not by notation, so that a general processor reads SKOS from it.
"""

from collections.abc import Callable, Mapping
from typing import Any

from annotator.formats.faults import PlaceOf
from annotator.formats.vocabulary_form import from_plain, implied_iri, to_plain
from annotator.model.vocabulary import Vocabulary

# How keys of the plain form are called here, so that each means one thing in the whole document.
_SCHEME = {"iri": "id", "name": "notation"}
_FACET = {"name": "notation", "label": "prefLabel"}
_CONCEPT = {"iri": "id"}

_NAMING_ONE = "broader"
_NAMING_SEVERAL = ("usuallyAfter", "replaces")


def to_jsonld(vocabulary: Vocabulary) -> dict[str, Any]:
    """The vocabulary as a SKOS concept scheme."""
    iris = {concept.notation: concept.iri for concept in vocabulary.concepts}

    def iri_of(notation: str) -> str:
        return iris.get(notation) or implied_iri(vocabulary.iri, notation)

    plain = to_plain(vocabulary)
    facets = [_renamed(facet, _FACET) for facet in plain.pop("facets")]
    concepts = [
        {"id": iri_of(concept["notation"]), "type": "Concept", **_with_names(concept, iri_of)}
        for concept in plain.pop("concepts")
    ]
    return {"type": "ConceptScheme", **_renamed(plain, _SCHEME), "facets": facets, "concepts": concepts}


def from_jsonld(plain: object, place_of: PlaceOf) -> Vocabulary:
    """The vocabulary that stands in a case file. Raises InvalidVocabulary with every fault, as `from_plain` does."""
    if not isinstance(plain, Mapping):
        return from_plain(plain, place_of)
    scheme = _renamed(_untyped(plain), _swapped(_SCHEME))
    notations = _notations(plain.get("concepts"))
    start = f"{scheme.get('iri')}#"

    def notation_of(iri: str) -> str:
        return notations.get(iri) or iri.removeprefix(start)

    def concept(found: Mapping[str, Any]) -> dict[str, Any]:
        return _with_names(_renamed(_untyped(found), _swapped(_CONCEPT)), notation_of)

    def facet(found: Mapping[str, Any]) -> dict[str, Any]:
        return _renamed(found, _swapped(_FACET))

    scheme["facets"] = _each(plain.get("facets"), facet)
    scheme["concepts"] = _each(plain.get("concepts"), concept)
    return from_plain(scheme, place_of)


def _with_names(concept: Mapping[str, Any], named: Callable[[str], str]) -> dict[str, Any]:
    """The concept with its names of other concepts changed; what is no name stays, to be refused later."""
    changed = dict(concept)
    if isinstance(changed.get(_NAMING_ONE), str):
        changed[_NAMING_ONE] = named(changed[_NAMING_ONE])
    for key in _NAMING_SEVERAL:
        if isinstance(changed.get(key), list):
            changed[key] = [named(name) if isinstance(name, str) else name for name in changed[key]]
    return changed


def _notations(concepts: object) -> dict[str, str]:
    found: dict[str, str] = {}
    for concept in concepts if isinstance(concepts, list) else ():
        if isinstance(concept, Mapping):
            iri, notation = concept.get("id"), concept.get("notation")
            if isinstance(iri, str) and isinstance(notation, str):
                found[iri] = notation
    return found


def _each(items: object, change: Callable[[Mapping[str, Any]], dict[str, Any]]) -> object:
    if not isinstance(items, list):
        return items
    return [change(item) if isinstance(item, Mapping) else item for item in items]


def _renamed(plain: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {names.get(key, key): value for key, value in plain.items()}


def _untyped(plain: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in plain.items() if key != "type"}


def _swapped(names: Mapping[str, str]) -> dict[str, str]:
    return {here: there for there, here in names.items()}
