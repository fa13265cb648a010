"""A vocabulary as it stands in a case file: its plain form in JSON-LD, a SKOS concept scheme.

Here a concept names its facet and other concepts by IRI, not by notation, so that a general processor
reads the same triples from it as from the vocabulary in Turtle.
"""

from collections.abc import Callable, Mapping
from typing import Any

from annotator.formats.faults import PlaceOf
from annotator.formats.vocabulary.flat_rules import flat_path, flattened, nested
from annotator.formats.vocabulary.form import from_plain, implied_iri, to_plain
from annotator.model.concept_rules import Rules
from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_rules import facet_iri, kind_iri

# How keys of the plain form are called here, so that each means one thing in the whole document.
_SCHEME = {"iri": "id", "name": "notation"}
_LABELLED = {"name": "notation", "label": "prefLabel"}
_CONCEPT = {"iri": "id", "kinds": "forKinds"}

_NAMING_ONE = ("facet", "broader")
_NAMING_SEVERAL = ("usuallyAfter", "replaces", "forKinds", *(key for key, _ in Rules().named()))

_Named = Callable[[str, str], str]
"""From a key and a name under it to the same thing's other name."""


def to_jsonld(vocabulary: Vocabulary) -> dict[str, Any]:
    """The vocabulary as a SKOS concept scheme."""
    iris = {concept.notation: concept.iri for concept in vocabulary.concepts}

    def iri_of(key: str, name: str) -> str:
        if key == "facet":
            return facet_iri(vocabulary, name)
        if key == "forKinds":
            return kind_iri(vocabulary, name)
        return iris.get(name) or implied_iri(vocabulary.iri, name)

    plain = to_plain(vocabulary)
    kinds = [
        {"id": kind_iri(vocabulary, kind["name"]), "type": "Kind", **_renamed(kind, _LABELLED)}
        for kind in plain.pop("kinds", ())
    ]
    facets = [
        {"id": facet_iri(vocabulary, facet["name"]), "type": "Collection", **_renamed(facet, _LABELLED)}
        for facet in plain.pop("facets")
    ]
    concepts = [
        {"id": iris[concept["notation"]], "type": "Concept", **_concept(concept, iri_of)}
        for concept in plain.pop("concepts")
    ]
    scheme = {"type": "ConceptScheme", **_renamed(plain, _SCHEME)} | ({"kinds": kinds} if kinds else {})
    return {**scheme, "facets": facets, "concepts": concepts}


def _concept(concept: Mapping[str, Any], iri_of: _Named) -> dict[str, Any]:
    """A concept of the plain form but for its IRI: its rules beside its other keys, and names as IRIs."""
    flat = flattened({key: value for key, value in concept.items() if key != "iri"})
    return _with_names(_renamed(flat, _CONCEPT), iri_of)


def from_jsonld(plain: object, place_of: PlaceOf) -> Vocabulary:
    """The vocabulary that stands in a case file. Raises InvalidVocabulary with every fault, as `from_plain` does."""
    if not isinstance(plain, Mapping):
        return from_plain(plain, place_of)
    scheme = _without(_renamed(plain, _swapped(_SCHEME)), "type")
    facets, concepts, kinds = plain.get("facets"), plain.get("concepts"), plain.get("kinds")
    notations = _notations(facets) | _notations(concepts) | _notations(kinds)

    def notation_of(key: str, iri: str) -> str:
        own = str(scheme.get("iri"))
        implied = {"facet": f"{own}/facet/", "forKinds": f"{own}/kind/"}.get(key) or implied_iri(own, "")
        return notations.get(iri) or iri.removeprefix(implied)

    def concept(found: Mapping[str, Any]) -> dict[str, Any]:
        return nested(_renamed(_with_names(_without(found, "type"), notation_of), _swapped(_CONCEPT)))

    def labelled(found: Mapping[str, Any]) -> dict[str, Any]:
        return _renamed(_without(found, "id", "type"), _swapped(_LABELLED))

    scheme["facets"], scheme["concepts"] = _each(facets, labelled), _each(concepts, concept)
    if kinds is not None:
        scheme["kinds"] = _each(kinds, labelled)
    return from_plain(scheme, lambda path: place_of(flat_path(path)))


def _with_names(concept: Mapping[str, Any], named: _Named) -> dict[str, Any]:
    """The concept with its names of other things changed; what is no name stays, to be refused later."""
    changed = dict(concept)
    for key in _NAMING_ONE:
        if isinstance(changed.get(key), str):
            changed[key] = named(key, changed[key])
    for key in _NAMING_SEVERAL:
        if isinstance(changed.get(key), list):
            changed[key] = [named(key, name) if isinstance(name, str) else name for name in changed[key]]
    return changed


def _notations(things: object) -> dict[str, str]:
    found: dict[str, str] = {}
    for thing in things if isinstance(things, list) else ():
        if isinstance(thing, Mapping):
            iri, notation = thing.get("id"), thing.get("notation")
            if isinstance(iri, str) and isinstance(notation, str):
                found[iri] = notation
    return found


def _each(things: object, change: Callable[[Mapping[str, Any]], dict[str, Any]]) -> object:
    if not isinstance(things, list):
        return things
    return [change(thing) if isinstance(thing, Mapping) else thing for thing in things]


def _renamed(plain: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    return {names.get(key, key): value for key, value in plain.items()}


def _without(plain: Mapping[str, Any], *keys: str) -> dict[str, Any]:
    return {key: value for key, value in plain.items() if key not in keys}


def _swapped(names: Mapping[str, str]) -> dict[str, str]:
    return {here: there for there, here in names.items()}
