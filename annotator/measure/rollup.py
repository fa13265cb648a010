"""Which concepts of a facet a tag counts for, its own and every broader one, and the ranges that these imply.

A step that may fall in any phase counts for the one in which it lies; docs/measures.md has the rule.
"""

from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from itertools import chain
from operator import itemgetter
from typing import NamedTuple

from annotator.model.case import Case, Tag
from annotator.model.tag_list import Block, Group
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept, Vocabulary

Settled = Mapping[str, tuple[Concept, ...]]
"""By tag id, the concepts of a facet that a tag counts for by where it lies, nearest first."""


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


def settled_lines(case: Case, facet: str) -> Settled:
    """By tag id, for the tags that count for that of the facet in which they lie: its concepts, nearest first."""
    return {tag_id: line for part in settled_parts(case, facet) for tag_id, line in part.items()}


def settled_parts(case: Case, facet: str) -> tuple[Settled, ...]:
    """The same part by part; a part where an edit changes nothing that it follows from is the same object after it."""
    vocabulary, groups = case.vocabulary, case.tag_list.groups
    known = [
        group.once(f"free {facet}", (vocabulary,), partial(_in_group, vocabulary, facet, group)) for group in groups
    ]
    found: list[Settled] = []
    before: Concept | None = None
    for group, one, after in zip(groups, known, _following([one.first for one in known]), strict=True):
        if one.free:
            near = (beside.over for other, beside in zip(groups, known, strict=True) if _meet(other, group))
            around = _Around(before, after, tuple(chain.from_iterable(near)))
            on = vocabulary, case.duration, around
            found.append(group.once(f"settled {facet}", on, partial(_settled_group, case, facet, group, around)))
        before = one.last or before
    return tuple(found)


class _Around(NamedTuple):
    """What settles free tags: the concepts of the last before them and of the first after them that are not free, and
    the tags of the facet itself that may lie over them, in order.
    """

    before: Concept | None
    after: Concept | None
    over: tuple[Tag, ...]


class _Free(NamedTuple):
    """A tag that counts for what it lies in, its own concept of the facet, and that of the tags beside it in its block
    that have one always.
    """

    tag: Tag
    own: Concept
    before: Concept | None
    after: Concept | None


class _Known(NamedTuple):
    """The free tags of a block or a group, the tags of the facet itself, and the first and last concept of the facet
    that others count for always.
    """

    free: Sequence[_Free]
    over: Sequence[Tag]
    first: Concept | None
    last: Concept | None


def _in_group(vocabulary: Vocabulary, facet: str, group: Group) -> _Known:
    found = [_in_block(vocabulary, facet, block) for block in group]
    free, over = (
        list(chain.from_iterable(parts)) for parts in zip(*((one.free, one.over) for one in found), strict=True)
    )
    firsts, lasts = (one.first for one in found), (one.last for one in reversed(found))
    return _Known(free, over, next(filter(None, firsts), None), next(filter(None, lasts), None))


def _in_block(vocabulary: Vocabulary, facet: str, block: Block) -> _Known:
    return block.once(f"free {facet}", (vocabulary,), partial(_known, vocabulary, facet, block))


def _known(vocabulary: Vocabulary, facet: str, block: Block) -> _Known:
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
    over = [tag for tag in block if tag.concept in lines and tag.concept not in above]
    return _Known(found, over, after[0] if after else None, before[-1] if before else None)


def _settled_group(case: Case, facet: str, group: Group, around: _Around) -> Settled:
    known = [_in_block(case.vocabulary, facet, block) for block in group]
    found: dict[str, tuple[Concept, ...]] = {}
    before, over = around.before, _reaching(around.over, group)
    for block, one, after in zip(group, known, _following([one.first for one in known]), strict=True):
        if one.free:
            beside = _Around(before, after or around.after, _reaching(over, block))
            on = case.vocabulary, case.duration, beside
            found |= block.once(f"settled {facet}", on, partial(_settled_block, case, facet, one.free, beside))
        before = one.last or before
    return found


def _meet(one: Group, other: Group) -> bool:
    """Whether some of their tags may have time in common."""
    return one.start <= other.reach and one.reach >= other.start


def _reaching(tags: Iterable[Tag], part: Block | Group) -> tuple[Tag, ...]:
    """Those that may have time in common with tags of a part."""
    start, reach = part.start, part.reach
    return tuple(tag for tag in tags if tag.start <= reach and (tag.end is None or tag.end >= start))


def _settled_block(case: Case, facet: str, free: Iterable[_Free], around: _Around) -> Settled:
    concepts = {
        tag.id: tagged_over(case, tag, around.over) or _around(own, before or around.before, after or around.after)
        for tag, own, before, after in free
    }
    lines = {one.iri: case.vocabulary.lineage(one, facet) for one in concepts.values()}
    return {tag_id: lines[one.iri] for tag_id, one in concepts.items()}


def tagged_over(case: Case, tag: Tag, among: Iterable[Tag]) -> Concept | None:
    """What is tagged over a tag: that of some with which it shares most time, of two with as much the earlier."""
    start, end = case.range_of(tag)
    near = (one for one in among if one.start < end and (one.end is None or one.end > start))
    shared = [(min(case.range_of(one).end, end) - max(one.start, start), one) for one in near]
    most, over = max(shared, key=itemgetter(0), default=(0, None))
    return case.concept_of(over) if over is not None and most > 0 else None


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
