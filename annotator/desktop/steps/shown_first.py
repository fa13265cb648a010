"""Which concepts the step list shows without being asked: those of the kind of operation, and what is used."""

from collections.abc import Mapping

from annotator.desktop.commands.actions import Keys
from annotator.model.case import Case
from annotator.model.own_terms import own_terms

MOST_USED = 12
"""Concepts that are shown because the department uses them, whatever the kind of operation."""

FEWEST_CASES = 2
"""In which a concept must have been used to count as one that the department uses."""


def shown_first(case: Case, keys: Keys, used: Mapping[str, int]) -> frozenset[str]:
    """The IRIs of the concepts that are shown; the others are found by typing.

    Those of the case's kind, or, where nobody says the kind, those with a key. Besides, what the case itself has added
    or tagged, what the user has given a key, and what the department uses most: `used` counts cases by IRI. All of them
    where the vocabulary has no kinds.
    """
    concepts = case.vocabulary.concepts
    if not case.vocabulary.kinds:
        return frozenset(concept.iri for concept in concepts)
    of_kind = (
        concept.iri
        for concept in concepts
        if (case.kind in concept.kinds if case.kind else concept.key)
        or (keys.concepts.get(concept.iri) and not concept.key)
    )
    own = (concept.iri for concept in own_terms(case))
    tagged = {tag.concept for tag in case.tags}
    return frozenset([*of_kind, *own, *tagged, *most_used(case, used)])


def most_used(case: Case, used: Mapping[str, int]) -> list[str]:
    """The concepts of the case's vocabulary that the department uses most."""
    known = [iri for iri in used if iri in case.vocabulary.by_iri and used[iri] >= FEWEST_CASES]
    return sorted(known, key=lambda iri: -used[iri])[:MOST_USED]
