"""Questions about what counts for one phase and lies under the tag of another: that time is under two phases.

It is the time that durations of the phases count as under two at once. It holds of every exclusive facet.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, named
from annotator.measure.rollup import is_free, tagged_over
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, total, union
from annotator.model.tag_list import Block
from annotator.model.vocabulary import Concept


class _Part(NamedTuple):
    """What some tags that count for `concept` share with one over them that is of another: when, in order."""

    over: Tag
    concept: Concept
    tags: Sequence[Tag]
    shared: Sequence[Interval]


def elsewhere(case: Case) -> list[Finding]:
    """One question for each tag of an exclusive facet and each other concept of it for which time under it counts."""
    exclusive = [facet.name for facet in case.vocabulary.facets if facet.exclusive]
    return [_asked(case, facet, part) for facet in exclusive for part in _grouped(_parts(case, facet))]


def _grouped(parts: Iterable[_Part]) -> list[_Part]:
    """Parts with those of the same tag and the same other concept as one."""
    groups: dict[tuple[str, str], list[_Part]] = {}
    for part in parts:
        groups.setdefault((part.over.id, part.concept.iri), []).append(part)
    return [
        _Part(
            group[0].over,
            group[0].concept,
            [tag for part in group for tag in part.tags],
            union(time for part in group for time in part.shared),
        )
        for group in groups.values()
    ]


def _parts(case: Case, facet: str) -> Iterator[_Part]:
    """Of block after block, so that after an edit only what it changed is looked at again."""
    terms = case.terms(facet)
    for block in case.tag_list.blocks:
        over = tuple(case.tag_list.near(block[0].start, block.reach, terms))
        if over:
            on = case.vocabulary, case.duration, over
            yield from block.once(f"elsewhere {facet}", on, partial(_of_block, case, facet, block, over))


def _of_block(case: Case, facet: str, block: Block, over: Sequence[Tag]) -> list[_Part]:
    lines = {iri: _line(case, iri, facet) for iri in block.concepts}
    return _grouped(part for tag in block for part in _of_tag(case, facet, tag, lines[tag.concept], over))


def _line(case: Case, iri: str, facet: str) -> tuple[Concept, ...]:
    """What a tag of another facet counts for."""
    concept = case.vocabulary.concept(iri)
    return () if concept is None or concept.facet == facet else case.vocabulary.lineage(concept, facet)


def _of_tag(case: Case, facet: str, tag: Tag, line: Sequence[Concept], over: Sequence[Tag]) -> Iterator[_Part]:
    if not line:
        return
    covered = case.range_of(tag).common(case.whole)
    shared = [(one, common) for one in over if covered and (common := case.range_of(one).common(covered))]
    concept = case.vocabulary.by_iri[tag.concept]
    if shared and is_free(case.vocabulary, concept, facet):
        settled = tagged_over(case, tag, [one for one, _ in shared])
        line = case.vocabulary.lineage(settled, facet) if settled else line
    for one, common in shared:
        if case.vocabulary.lineage(case.vocabulary.by_iri[one.concept], facet)[-1] is not line[-1]:
            yield _Part(one, line[-1], [tag], [common])


def _asked(case: Case, facet: str, part: _Part) -> Finding:
    more = len(part.tags) - 1
    first = named(case, part.tags[0])
    those = f"{first} and {more} more tag{'s' * (more > 1)} count" if more else f"{first} counts"
    says = (
        f"{those} for {part.concept.label()}, but {in_words(total(part.shared))} of that lies under "
        f"{named(case, part.over)}; only one {facet} can be under way at a time."
    )
    return Finding("overlap", says, part.shared[0].start, (part.over.id, *(tag.id for tag in part.tags)))
