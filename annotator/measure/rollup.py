"""Which concepts of a facet a tag counts for, its own and every broader one, and the ranges that these imply.

A step that may fall in any phase counts for the one in which it lies; docs/measures.md has the rule.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block
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
    vocabulary, blocks = case.vocabulary, case.tag_list.blocks
    known = [
        block.once(f"free {facet}", (vocabulary,), partial(_in_block, vocabulary, facet, block)) for block in blocks
    ]
    if not any(one.free for one in known):
        return {}
    found: dict[str, tuple[Concept, ...]] = {}
    terms = case.terms(facet)
    before: Concept | None = None
    for block, one, after in zip(blocks, known, _following([one.first for one in known]), strict=True):
        over = tuple(case.tag_list.near(block[0].start, block.reach, terms)) if one.free else ()
        for tag, own, earlier, later in one.free:
            concept = tagged_over(case, tag, over) or _around(own, earlier or before, later or after)
            found[tag.id] = vocabulary.lineage(concept, facet)
        before = one.last or before
    return found


class _Free(NamedTuple):
    """A tag that counts for what it lies in, its own concept of the facet, and that of the tags beside it in its block
    that have one always.
    """

    tag: Tag
    own: Concept
    before: Concept | None
    after: Concept | None


class _InBlock(NamedTuple):
    """The free tags of a block, and the first and last concept of the facet that others of it count for always."""

    free: Sequence[_Free]
    first: Concept | None
    last: Concept | None


def _in_block(vocabulary: Vocabulary, facet: str, block: Block) -> _InBlock:
    lines = lineages(vocabulary, block, facet)
    above = {iri: line[0] for iri, line in lines.items() if vocabulary.by_iri[iri].facet != facet}
    free = frozenset(iri for iri in above if is_free(vocabulary, vocabulary.by_iri[iri], facet))
    below = [tag for tag in block if tag.concept in above]
    fixed = [None if tag.concept in free else above[tag.concept] for tag in below]
    before, after = _latest(fixed), _latest(reversed(fixed))[::-1]
    found = [
        _Free(tag, above[tag.concept], earlier, later)
        for tag, earlier, later in zip(below, before, after, strict=True)
        if tag.concept in free
    ]
    return _InBlock(found, after[0] if after else None, before[-1] if before else None)


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
    after = _following([None if one.is_free else one.concept for one in found])
    for at, one in enumerate(found):
        if one.is_free:
            found[at] = Range(one.start, one.end, one.concept and _around(one.concept, before, after[at]))
        elif one.concept is not None:
            before = one.concept
    return found


def _around(own: Concept, before: Concept | None, after: Concept | None) -> Concept:
    return own if own is before or own is after else before or after or own


def _latest(fixed: Iterable[Concept | None]) -> list[Concept | None]:
    """For each place the last concept up to there."""
    found: list[Concept | None] = []
    last: Concept | None = None
    for one in fixed:
        last = one or last
        found.append(last)
    return found


def _following(fixed: Sequence[Concept | None]) -> list[Concept | None]:
    """For each place the first concept behind it."""
    return [*_latest(reversed(fixed))[::-1][1:], None][: len(fixed)]


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
