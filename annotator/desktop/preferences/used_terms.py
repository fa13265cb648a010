"""In how many cases each concept of a vocabulary was used; kept in the settings, and nothing about the cases."""

from collections.abc import Iterable, Mapping
from typing import Final

import msgspec

from annotator.model.case import Case
from annotator.model.own_terms import own_terms

MOST_VOCABULARIES: Final = 10
MOST_TERMS: Final = 100
"""Of one vocabulary: what is used more seldom than so many others is forgotten."""

Used = Mapping[str, Mapping[str, int]]
"""By the IRI of a vocabulary, the one used last first, how often each concept was used, by its IRI."""

_LONGEST: Final = 150
"""Characters of an IRI that is kept, so that the setting stays small."""


def terms_of(case: Case) -> frozenset[str]:
    """The IRIs of the concepts that a case uses, without those that only this case has."""
    own = {concept.iri for concept in own_terms(case)}
    used = frozenset[str]().union(*(block.concepts for block in case.tag_list.blocks))
    return (used & case.vocabulary.by_iri.keys()) - own


def with_terms(used: Used, vocabulary: str, terms: Iterable[str]) -> Used:
    """The counts, with one case more for each of these concepts."""
    counts = dict(used.get(vocabulary, {}))
    for term in terms:
        if len(term) <= _LONGEST:
            counts[term] = counts.get(term, 0) + 1
    if not counts or len(vocabulary) > _LONGEST:
        return used
    kept = dict(sorted(counts.items(), key=lambda item: (-item[1], item[0]))[:MOST_TERMS])
    others = [(iri, one) for iri, one in used.items() if iri != vocabulary]
    return dict([(vocabulary, kept), *others][:MOST_VOCABULARIES])


def read_used(text: str) -> Used:
    """Raises ValueError for what is no such setting."""
    try:
        used = msgspec.json.decode(text, type=dict[str, dict[str, int]])
    except msgspec.MsgspecError as error:
        raise ValueError(text) from error
    if any(count < 1 for counts in used.values() for count in counts.values()):
        raise ValueError(text)
    return used


def write_used(used: Used) -> str:
    return msgspec.json.encode(used).decode()
