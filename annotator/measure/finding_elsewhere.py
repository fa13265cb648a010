"""Questions about what counts for one phase and lies under the tag of another: that time is under two phases.

It is the time that durations of the phases count as under two at once. It holds of every exclusive facet.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, named
from annotator.measure.rollup import is_free, tagged_over
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval, total, union
from annotator.model.tag_list import Block, in_order
from annotator.model.timecode import Ms
from annotator.model.vocabulary import Concept


class _Part(NamedTuple):
    """What some tags that count for `concept` share with one over them that is of another: when, in order."""

    over: Tag
    concept: Concept
    tags: Sequence[Tag]
    shared: Sequence[Interval]


def elsewhere(case: Case) -> list[Finding]:
    """One question for each tag of an exclusive facet and each other concept of it for which time under it counts."""
    return [found for facet in case.vocabulary.facets if facet.exclusive for found in _of_facet(case, facet.name)]


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


class _Lasting(NamedTuple):
    """Tags that later ones may share time with: those that count for another facet, each with what is over it so far,
    and what may be over others; and what is known so far of what is not settled yet.
    """

    below: Sequence[tuple[Tag, Sequence[Tag]]] = ()
    over: Sequence[Tag] = ()
    parts: Sequence[_Part] = ()


def _of_facet(case: Case, facet: str) -> list[Finding]:
    terms = case.terms(facet)
    if all(terms.isdisjoint(block.concepts) for block in case.tag_list.blocks):
        return []

    def follow(block: Block, before: _Lasting) -> tuple[list[Finding], _Lasting]:
        counting = {iri for iri in block.concepts - terms if _line(case, iri, facet)}
        lasting = before
        for tag in block:
            if tag.concept in terms or tag.concept in counting:
                lasting = _with(_until(case, facet, lasting, tag.start), tag, is_over=tag.concept in terms)
        settled, left = _settled(_until(case, facet, lasting, block[-1].start))
        return [_asked(case, facet, part) for part in settled], left

    on = case.vocabulary, case.duration
    found, left = case.tag_list.walk(f"elsewhere {facet}", on, _Lasting(), follow, _joined)
    rest = [*left.parts, *(part for one in left.below for part in _of_tag(case, facet, *one))]
    return [*_joined(found), *(_asked(case, facet, part) for part in _grouped(rest))]


def _joined(parts: Iterable[Iterable[Finding]]) -> list[Finding]:
    return list(chain.from_iterable(parts))


def _until(case: Case, facet: str, lasting: _Lasting, at: Ms) -> _Lasting:
    """What lasts beyond a time; the tags that end by then have given what they can."""
    ended = [part for one in lasting.below if case.range_of(one[0]).end <= at for part in _of_tag(case, facet, *one)]
    below = tuple(one for one in lasting.below if case.range_of(one[0]).end > at)
    over = tuple(one for one in lasting.over if case.range_of(one).end > at)
    return _Lasting(below, over, (*lasting.parts, *ended) if ended else lasting.parts)


def _settled(lasting: _Lasting) -> tuple[list[_Part], _Lasting]:
    """The parts under tags of which no more is to come, and what is left."""
    parts = _grouped(lasting.parts)
    more = {one.id for one in lasting.over} | {one.id for _, others in lasting.below for one in others}
    left = lasting._replace(parts=tuple(part for part in parts if part.over.id in more))
    return [part for part in parts if part.over.id not in more], left


def _with(lasting: _Lasting, tag: Tag, *, is_over: bool) -> _Lasting:
    below, over, parts = lasting
    if is_over:
        return _Lasting(tuple((one, (*others, tag)) for one, others in below), (*over, tag), parts)
    return _Lasting((*below, (tag, over)), over, parts)


def _line(case: Case, iri: str, facet: str) -> tuple[Concept, ...]:
    """What a tag of another facet counts for."""
    concept = case.vocabulary.concept(iri)
    return () if concept is None or concept.facet == facet else case.vocabulary.lineage(concept, facet)


def _of_tag(case: Case, facet: str, tag: Tag, over: Sequence[Tag]) -> Iterator[_Part]:
    line = _line(case, tag.concept, facet)
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
    tags = in_order(part.tags)
    more = len(tags) - 1
    first = named(case, tags[0])
    those = f"{first} and {more} more tag{'s' * (more > 1)} count" if more else f"{first} counts"
    says = (
        f"{those} for {part.concept.label()}, but {in_words(total(part.shared))} of that lies under "
        f"{named(case, part.over)}; only one {facet} can be under way at a time."
    )
    return Finding("overlap", says, part.shared[0].start, (part.over.id, *(tag.id for tag in tags)))
