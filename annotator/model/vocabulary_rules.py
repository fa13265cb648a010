"""What a vocabulary must keep to be of use, beyond being readable: the findings of a check.

The conditions S9, S13 and S37 are those of the SKOS Reference (W3C Recommendation 18 August 2009), as far as this form
can break them. S14 is kept by the form itself; S27 and S46 speak of relations that it does not have, and are checked
in Turtle (`annotator.formats.vocabulary.skos_conditions`). The rest are this program's own.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple

from annotator.errors import InvalidEdit
from annotator.model.place import Eye, parse_place
from annotator.model.timecode import span
from annotator.model.vocabulary import Vocabulary
from annotator.model.words.forms import folded

RESERVED_KEYS = " ,.[]jkl"
"""Keys that play, step and cut; no concept may have them."""

_KEBAB = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class VocabularyFinding(NamedTuple):
    """Something that a vocabulary had better not say: of which kind, about which concept (a notation, or empty)."""

    kind: str
    notation: str
    says: str


def check(vocabulary: Vocabulary) -> tuple[VocabularyFinding, ...]:
    """Everything found, in the order of the concepts, and of the rules for one concept."""
    order = {concept.notation: place for place, concept in enumerate(vocabulary.concepts)}
    found = [finding for rule in _RULES for finding in rule(vocabulary)]
    return tuple(sorted(found, key=lambda finding: order.get(finding.notation, -1)))


def _names_are_plain(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    for concept in vocabulary.concepts:
        if not _KEBAB.fullmatch(concept.notation):
            yield VocabularyFinding(
                "notation", concept.notation, "small letters, digits and hyphens make the best notation"
            )
    names = [f"category {facet.name}" for facet in vocabulary.facets if not _KEBAB.fullmatch(facet.name)]
    names += [f"kind {kind.name}" for kind in vocabulary.kinds if not _KEBAB.fullmatch(kind.name)]
    for name in names:
        yield VocabularyFinding("notation", "", f"{name}: small letters, digits and hyphens make the best name")


def _label_is_no_synonym(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    """S13."""
    for concept in vocabulary.concepts:
        preferred = {(language.lower(), text) for language, text in concept.pref_label.items()}
        for language, synonyms in concept.alt_label.items():
            for text in synonyms:
                if (language.lower(), text) in preferred:
                    yield VocabularyFinding(
                        "S13", concept.notation, f"“{text}” is both the label and a synonym ({language})"
                    )


def _concept_is_no_scheme_or_collection(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    """S9 and S37."""
    facets = {facet_iri(vocabulary, facet.name): facet.name for facet in vocabulary.facets}
    for concept in vocabulary.concepts:
        if concept.iri == vocabulary.iri:
            yield VocabularyFinding("S9", concept.notation, "the IRI is that of the vocabulary itself")
        elif concept.iri in facets:
            yield VocabularyFinding("S37", concept.notation, f"the IRI is that of the category {facets[concept.iri]}")


def _keys_are_free(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    holders: dict[str, str] = {}
    for concept in vocabulary.concepts:
        key = concept.key.lower()
        if not key:
            continue
        if len(key) != 1 or not key.isprintable():
            yield VocabularyFinding("key", concept.notation, f"the key “{concept.key}” is not one character")
        elif key in RESERVED_KEYS:
            yield VocabularyFinding(
                "key", concept.notation, f"the key “{concept.key}” belongs to playback; choose another"
            )
        elif holders.setdefault(key, concept.notation) != concept.notation:
            yield VocabularyFinding(
                "key", concept.notation, f"the key “{concept.key}” already belongs to {holders[key]}"
            )


def _names_mean_one_thing(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    meant: dict[str, str] = {}
    for concept in vocabulary.concepts:
        for name in dict.fromkeys(map(folded, concept.names())):
            if meant.setdefault(name, concept.notation) != concept.notation:
                yield VocabularyFinding("shared name", concept.notation, f"“{name}” is also a name of {meant[name]}")


def _broader_goes_up(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    up = {concept.notation: [concept.broader] for concept in vocabulary.concepts if concept.broader}
    for round_trip in _cycles(up):
        yield VocabularyFinding("cycle", round_trip[0], f"each is under the next: {' < '.join(round_trip)}")


def _usual_order_goes_on(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    earlier = {concept.notation: concept.usually_after for concept in vocabulary.concepts if concept.usually_after}
    for round_trip in _cycles(earlier):
        yield VocabularyFinding("cycle", round_trip[0], f"each usually comes after the next: {' < '.join(round_trip)}")


def _steps_have_a_phase(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    if not {"phase", "step"} <= {facet.name for facet in vocabulary.facets}:
        return
    for concept in vocabulary.concepts:
        above = vocabulary.ancestors(concept)
        if concept.facet == "step" and not any(broader.facet == "phase" for broader in above):
            yield VocabularyFinding("hierarchy", concept.notation, "the step has no phase; name one with broader")


def _steps_say_when(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    """No duration can be compared with another's where each takes the step to begin or end elsewhere."""
    for concept in vocabulary.concepts:
        said = (("begins (beginsWhen)", concept.begins_when), ("ends (endsWhen)", concept.ends_when))
        missing = " or ".join(what for what, texts in said if not texts)
        if concept.facet == "step" and missing:
            yield VocabularyFinding("begins and ends", concept.notation, f"nothing says when the step {missing}")


def _rules_can_be_kept(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    for concept in vocabulary.concepts:
        rules = concept.rules
        least, most = rules.usual_time.least, rules.usual_time.most
        if least is not None and most is not None and least > most:
            says = f"the usual time is at least {span(least)} and at most {span(most)}"
            yield VocabularyFinding("rules", concept.notation, f"{says}; the first must be the shorter")
        for place in rules.usual_place:
            if not _is_place(place):
                says = f"“{place}” is not a place on the retina; write one such as 4-6 mid-periphery (usualPlace)"
                yield VocabularyFinding("rules", concept.notation, says)
        for key, notations in rules.named():
            if concept.notation in notations:
                yield VocabularyFinding("rules", concept.notation, f"a concept can't be named in its own {key}")


def _is_place(text: str) -> bool:
    try:
        return bool(parse_place(text, Eye.RIGHT))  # some places are those of one eye
    except InvalidEdit:
        return False


def _replaced_are_gone(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    for concept in vocabulary.concepts:
        if concept.notation in concept.replaces:
            yield VocabularyFinding("replaces", concept.notation, "a concept can't replace itself")


def _facets_are_used(vocabulary: Vocabulary) -> Iterator[VocabularyFinding]:
    used = {concept.facet for concept in vocabulary.concepts}
    for facet in vocabulary.facets:
        if facet.name not in used:
            yield VocabularyFinding("facet", "", f"the category {facet.name} has no concepts")


_RULES: tuple[Callable[[Vocabulary], Iterable[VocabularyFinding]], ...] = (
    _names_are_plain,
    _label_is_no_synonym,
    _concept_is_no_scheme_or_collection,
    _keys_are_free,
    _names_mean_one_thing,
    _broader_goes_up,
    _usual_order_goes_on,
    _steps_have_a_phase,
    _steps_say_when,
    _rules_can_be_kept,
    _replaced_are_gone,
    _facets_are_used,
)


def facet_iri(vocabulary: Vocabulary, name: str) -> str:
    """The IRI under which a facet is a collection of its concepts in SKOS."""
    return f"{vocabulary.iri}/facet/{name}"


def kind_iri(vocabulary: Vocabulary, name: str) -> str:
    """The IRI of a kind of operation."""
    return f"{vocabulary.iri}/kind/{name}"


def _cycles(edges: Mapping[str, Iterable[str]]) -> Iterator[tuple[str, ...]]:
    """One way round for each knot that a walk along the edges runs into, starting and ending at the same name.

    A depth-first walk with a stack of its own, so that a long chain does not exhaust Python's.
    """
    done: set[str] = set()
    for start in edges:
        trail: list[str] = []
        waiting = [iter((start,))]
        while waiting:
            name = next(waiting[-1], None)
            if name is None:
                waiting.pop()
                if trail:
                    done.add(trail.pop())
            elif name in trail:
                yield (*trail[trail.index(name) :], name)
            elif name not in done:
                trail.append(name)
                waiting.append(iter(edges.get(name, ())))
