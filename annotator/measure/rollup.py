"""Which concepts of a facet a tag counts for, its own and every broader one, and the ranges that these imply."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from annotator.model.case import Tag
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary


def lineages(vocabulary: Vocabulary, tags: Iterable[Tag], facet: str) -> Mapping[str, tuple[Concept, ...]]:
    """By concept IRI of the tags given: the concepts of `facet` that such a tag counts for, nearest first.

    A step counts for the phase above it; a phase does not count for the steps below. Terms that the
    vocabulary does not know, and concepts with nothing of the facet above them, are not in the result.
    """
    found: dict[str, tuple[Concept, ...]] = {}
    for iri in {tag.concept for tag in tags}:
        concept = vocabulary.concept(iri)
        if concept is not None:
            line = vocabulary.lineage(concept, facet)
            if line:
                found[iri] = line
    return found


class Run(NamedTuple):
    """Ranges that follow each other under one broader concept, as one."""

    start: Ms
    end: Ms
    concept: Concept


def runs(ranges: Iterable[tuple[Ms, Ms, Concept | None]]) -> list[Run]:
    """What a facet that nobody tagged is implied to be, by ranges in order of time, each with its broader concept.

    A range that has none ends the run before it.
    """
    found: list[Run] = []
    may_go_on = False
    for start, end, concept in ranges:
        if concept is not None and may_go_on and found[-1].concept is concept:
            found[-1] = found[-1]._replace(end=max(found[-1].end, end))
        elif concept is not None:
            found.append(Run(start, end, concept))
        may_go_on = concept is not None
    return found
