"""What the own terms of several cases have in common, gathered for the vocabulary of their department."""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from msgspec.structs import replace

from annotator.errors import AmbiguousName, UnknownName
from annotator.model.case import Case
from annotator.model.own_terms import counterparts, free_notation, own_terms
from annotator.model.vocabulary import Concept, Vocabulary
from annotator.plain_text import quoted


class Collected(NamedTuple):
    """A department's vocabulary with the terms of several cases at its end, those terms, and a line on each."""

    vocabulary: Vocabulary
    added: tuple[Concept, ...]
    says: tuple[str, ...]


class _Term(NamedTuple):
    """What of a term is told once all cases are seen.

    written  the ways in which it is written, and how often each is
    near     what the vocabulary calls something that it may be the same as
    """

    concept: Concept
    written: Counter[str]
    near: str = ""
    cases: int = 0
    tags: int = 0


def collect(cases: Sequence[Case], into: Vocabulary) -> Collected:
    """Add the cases' own terms to a vocabulary: as one those that mean the same, and none that it has already."""
    gathering = _Gathering(into)
    for case in cases:
        tags = Counter(tag.concept for tag in case.tags)
        for own in own_terms(case):
            gathering.take(own, tags[own.iri])
    terms = tuple(gathering.terms.values())
    told = (_told(one, gathering.vocabulary) for one in terms)
    return Collected(gathering.vocabulary, tuple(one.concept for one in terms), (*gathering.left_out, *told))


class _Gathering:
    """Terms as they come, by notation, and the vocabulary with those gathered so far."""

    def __init__(self, into: Vocabulary) -> None:
        self._into = into
        self.vocabulary = into
        self.terms: dict[str, _Term] = {}
        self.left_out: list[str] = []

    def _new(self, own: Concept) -> _Term:
        return _Term(_of_department(own, self.vocabulary), Counter(), near_name(self.vocabulary, own))

    def take(self, own: Concept, tags: int) -> None:
        """One more term of a case that has so many tags of it."""
        known = counterparts(own, self.vocabulary)
        if own.facet not in {facet.name for facet in self._into.facets}:
            self.left_out.append(f"{quoted(own.label())} is left out: {self._into.name} has no category {own.facet}")
        elif known and known[0].notation not in self.terms:
            self.left_out.append(f"{quoted(own.label())} is there already, as {quoted(known[0].label())}")
        else:
            term = self.terms[known[0].notation] if known else self._new(own)
            joined = _joined(term, own)._replace(cases=term.cases + 1, tags=term.tags + tags)
            self.terms[joined.concept.notation] = joined
            added = (one.concept for one in self.terms.values())
            self.vocabulary = replace(self._into, concepts=(*self._into.concepts, *added))


def near_name(vocabulary: Vocabulary, term: Concept) -> str:
    """What a vocabulary calls something that a new term may be the same as; empty where it knows nothing near."""
    try:
        return vocabulary.meaning(term.label(), term.facet).concept.label()
    except (UnknownName, AmbiguousName):
        return ""


def _joined(term: _Term, own: Concept) -> _Term:
    """The term with one more way of writing it; what most cases call it is its label."""
    written = term.written + Counter([own.label()])
    label = written.most_common(1)[0][0]
    others = tuple(name for name in written if name.casefold() != label.casefold())
    notations = {*term.concept.replaces, *([own.notation] if own.notation != term.concept.notation else [])}
    concept = replace(
        term.concept, pref_label={"en": label}, alt_label={"en": others} if others else {}, replaces=tuple(notations)
    )
    return term._replace(concept=concept, written=written)


def _told(term: _Term, vocabulary: Vocabulary) -> str:
    concept = term.concept
    above = vocabulary.by_notation.get(concept.broader or "")
    where = f"under {above.label()}" if above else f"in the category {concept.facet}"
    others = [quoted(name) for name in term.written if name != concept.label()]
    also = f", also written {', '.join(others)}" if others else ""
    counted = f"{term.cases} case{'s' * (term.cases != 1)}, {term.tags} tag{'s' * (term.tags != 1)}"
    asks = f"; similar to {quoted(term.near)}" if term.near else ""
    return f"{quoted(concept.label())} {where}: {counted}{also}{asks}"


def _of_department(own: Concept, vocabulary: Vocabulary) -> Concept:
    notation = free_notation(own.notation, vocabulary)
    broader = own.broader if own.broader in vocabulary.by_notation else None
    return replace(own, iri=f"{vocabulary.iri}#{notation}", notation=notation, broader=broader)
