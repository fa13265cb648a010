"""Which concepts of a facet a tag counts for, its own and every broader one, and the ranges that these imply.

A step that may fall in any phase counts for the one in which it lies; docs/measures.md has the rule.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from annotator.model.case import Case, Tag
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary


def lineages(vocabulary: Vocabulary, tags: Iterable[Tag], facet: str) -> Mapping[str, tuple[Concept, ...]]:
    """By concept IRI of the tags given: the concepts of `facet` that such a tag counts for, nearest first.

    A step counts for the phase above it; a phase does not count for the steps below. Terms that the
    vocabulary does not know, and concepts with nothing of the facet above them, are not in the result.
    What counts for the phase in which it lies has its own phase here; `settled_lines` knows better.
    """
    found: dict[str, tuple[Concept, ...]] = {}
    for iri in {tag.concept for tag in tags}:
        concept = vocabulary.concept(iri)
        if concept is not None:
            line = vocabulary.lineage(concept, facet)
            if line:
                found[iri] = line
    return found


class Range(NamedTuple):
    """A range with its broader concept, if it has one; `is_free`: it counts for that in which it lies instead."""

    start: Ms
    end: Ms
    concept: Concept | None
    is_free: bool = False


class Run(NamedTuple):
    """Ranges that follow each other under one broader concept, as one."""

    start: Ms
    end: Ms
    concept: Concept


def is_free(vocabulary: Vocabulary, concept: Concept, facet: str) -> bool:
    """Whether a concept counts for that of the facet in which it lies, and not always for the one above it."""
    return concept.facet != facet and vocabulary.is_any_phase(concept)


def settled_lines(case: Case, facet: str) -> Mapping[str, tuple[Concept, ...]]:
    """By tag id, for the tags that count for that of the facet in which they lie: its concepts, nearest first."""
    vocabulary = case.vocabulary
    concepts = {one.iri: one for one in vocabulary.concepts if vocabulary.lineage(one, facet)}
    free = frozenset(iri for iri, concept in concepts.items() if is_free(vocabulary, concept, facet))
    if all(free.isdisjoint(block.concepts) for block in case.tag_list.blocks):
        return {}
    below = [tag for tag in case.tags if tag.concept in concepts and concepts[tag.concept].facet != facet]
    ranges = [
        Range(*case.range_of(tag), vocabulary.lineage(concepts[tag.concept], facet)[0], tag.concept in free)
        for tag in below
    ]
    found: dict[str, tuple[Concept, ...]] = {}
    for tag, range_ in zip(below, settled(ranges), strict=True):
        if tag.concept in free:
            concept = tagged_over(case, tag, case.near(*case.range_of(tag), facet)) or range_.concept
            found[tag.id] = vocabulary.lineage(concept, facet) if concept else ()
    return found


def tagged_over(case: Case, tag: Tag, among: Iterable[Tag]) -> Concept | None:
    """What is tagged over a tag: that of some with which it shares most time, of two with as much the earlier."""
    covered = case.range_of(tag)

    def shared(one: Tag) -> Ms:
        common = case.range_of(one).common(covered)
        return common.length if common else 0

    most = max(among, key=shared, default=None)
    return case.concept_of(most) if most is not None and shared(most) else None


def settled(ranges: Iterable[Range], before: Concept | None = None) -> list[Range]:
    """Ranges in order of time, the free ones under the concept of what is around them; `before` is what came earlier.

    That is their own where the last before or the first after has it, else that of the last before, of the first after
    where there is none before, and their own where there is nothing around.
    """
    found = list(ranges)
    after = _next_fixed(found)
    for at, one in enumerate(found):
        if one.is_free:
            own_is_near = any(near is not None and near is one.concept for near in (before, after[at]))
            found[at] = Range(one.start, one.end, one.concept if own_is_near else before or after[at] or one.concept)
        elif one.concept is not None:
            before = one.concept
    return found


def _next_fixed(ranges: Sequence[Range]) -> list[Concept | None]:
    """For each range the concept of the first behind it that has one and is not free."""
    found: list[Concept | None] = []
    following: Concept | None = None
    for one in reversed(ranges):
        found.append(following)
        if not one.is_free and one.concept is not None:
            following = one.concept
    return found[::-1]


class Left(NamedTuple):
    """What ranges leave for those after them.

    before     the concept of the last that is not free
    unsettled  those after it, of which the free ones may be settled by the next
    run        the last run, with which the next may go on
    """

    before: Concept | None = None
    unsettled: tuple[Range, ...] = ()
    run: Run | None = None

    def begins(self, otherwise: Ms) -> Ms:
        """When the earliest run begins that is still to be told, but no later than a time."""
        if self.run is not None:
            return min(self.run.start, otherwise)
        return min([otherwise, *(one.start for one in self.unsettled[:1])])

    @property
    def runs(self) -> list[Run]:
        """What is left where nothing comes after it."""
        found, last = _chained(settled(self.unsettled, self.before), self.run)
        return [*found, last] if last is not None else found


def runs(ranges: Iterable[Range]) -> list[Run]:
    """What a facet that nobody tagged is implied to be, by ranges in order of time, each with its broader concept.

    A range that has none ends the run before it.
    """
    found, left = runs_so_far(ranges, Left())
    return [*found, *left.runs]


def runs_so_far(ranges: Iterable[Range], left: Left) -> tuple[list[Run], Left]:
    """The runs that are known to have ended, from what the ranges before these have left; and what these leave."""
    whole = [*left.unsettled, *ranges]
    fixed = (at for at in range(len(whole), 0, -1) if not whole[at - 1].is_free and whole[at - 1].concept is not None)
    known = next(fixed, 0)
    found, run = _chained(settled(whole[:known], left.before), left.run)
    before = whole[known - 1].concept if known else left.before
    return found, Left(before, tuple(whole[known:]), run)


def _chained(ranges: Iterable[Range], run: Run | None) -> tuple[list[Run], Run | None]:
    """Neighbours under one concept as one; and the last of these runs, where it may go on."""
    found: list[Run] = []
    for one in ranges:
        if run is not None and one.concept is run.concept:
            run = run._replace(end=max(run.end, one.end))
            continue
        if run is not None:
            found.append(run)
        run = None if one.concept is None else Run(one.start, one.end, one.concept)
    return found, run
