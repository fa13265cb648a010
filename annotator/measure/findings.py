"""What may be wrong with the tags of a case. A finding is a question in a full sentence, never a verdict."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from operator import attrgetter
from typing import NamedTuple

import msgspec

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval
from annotator.model.tag_list import Block
from annotator.model.timecode import MINUTE, SECOND, Ms, clock, span
from annotator.model.vocabulary import Facet

# All limits are common practice, no source: they ask for a look, and a fitting case may well break them.
SHORTEST: Ms = SECOND // 2
"""A range below this is more likely two keys pressed by accident than a step."""

LONGEST_GAP: Ms = 20 * SECOND
"""Untagged time between two steps that is more than changing instruments."""

LONGEST_EVENT: Ms = 5 * MINUTE
"""An event, such as a raised pressure, that was left open rather than meant."""

NEARLY_ALL = 0.9
"""Share of the case above which one of several steps has probably not been ended."""


class Finding(msgspec.Struct, frozen=True):
    """A question about a case.

    kind     overlap, gap, order, outside, unknown, unconfirmed, running, short or long
    at       ms on the case's clock, where to look
    tag_ids  the tags it is about
    """

    kind: str
    says: str
    at: Ms
    tag_ids: tuple[str, ...] = ()


class _Reached(NamedTuple):
    """How far the tags of an exclusive facet have come.

    longest  of those so far the one that lasts longest
    edge     up to where they reach; None while there were only moments
    last     the tag that ends there
    """

    longest: Tag
    edge: Ms | None = None
    last: Tag | None = None


class _Chain(NamedTuple):
    """The tags of one exclusive facet in a block, and what they give rise to where none before reaches into it."""

    tags: Sequence[Tag]
    overlaps: Sequence[Finding]
    gaps: Sequence[Finding]
    reached: _Reached
    nearly_all: Sequence[Finding]


class _Known(NamedTuple):
    """What follows from one block of tags alone.

    single  what each tag by itself gives rise to
    asked   how many of these are questions, and not only said while a tag is running
    chains  by exclusive facet
    first   the first tag of each concept, in order
    """

    single: Sequence[Finding]
    asked: int
    chains: Mapping[str, _Chain]
    first: Mapping[str, Tag]


def findings(case: Case) -> tuple[Finding, ...]:
    """Everything found, in order of time. Limits and what each kind means: docs/measures.md."""
    known = _known(case)
    single = [finding for one in known for finding in one.single]
    found = [*_overlaps_and_gaps(case, known), *_order(case, known), *single, *_nearly_all(case, known)]
    return tuple(sorted(found, key=attrgetter("at")))


def questions(case: Case) -> int:
    """How many of the findings ask for something; that a tag is still running does not, while it does."""
    known = _known(case)
    between = (_overlaps_and_gaps(case, known), _order(case, known), _nearly_all(case, known))
    return sum(one.asked for one in known) + sum(map(len, between))


def _known(case: Case) -> list[_Known]:
    """By block, so that after an edit only what it changed is looked at again."""
    on = case.vocabulary, case.duration
    return [block.once("findings", on, partial(_look_at, case, block)) for block in case.tag_list.blocks]


def _look_at(case: Case, block: Block) -> _Known:
    first: dict[str, Tag] = {}
    chains: dict[str, list[Tag]] = {}
    single: list[Finding] = []
    facets: dict[str, Facet | None] = {}
    for tag in block:
        if tag.concept not in facets:
            first[tag.concept], facets[tag.concept] = tag, case.facet_of(tag)
        facet = facets[tag.concept]
        if facet is not None and facet.exclusive:
            chains.setdefault(facet.name, []).append(tag)
        single += (Finding(kind, says, tag.start, (tag.id,)) for kind, says in _about(case, tag, facet))
    asked = sum(finding.kind != "running" for finding in single)
    return _Known(single, asked, {name: _chain(case, name, tags) for name, tags in chains.items()}, first)


def _chain(case: Case, facet: str, tags: Sequence[Tag]) -> _Chain:
    overlaps, gaps, reached = _followed(case, facet, tags, _Reached(tags[0]))
    least = NEARLY_ALL * case.duration
    long_ones = (tag for tag in tags if not tag.is_running and case.range_of(tag).length > least)
    nearly_all = [_takes_nearly_all(case, tag) for tag in long_ones if case.duration]
    return _Chain(tags, overlaps, gaps, reached, nearly_all)


def _followed(
    case: Case, facet: str, tags: Iterable[Tag], reached: _Reached
) -> tuple[list[Finding], list[Finding], _Reached]:
    """The overlaps and gaps that tags of an exclusive facet make with those before them, and how far they come."""
    overlaps: list[Finding] = []
    gaps: list[Finding] = []
    longest, edge, last = reached
    widest = case.range_of(longest)
    for tag in tags:
        covered = case.range_of(tag)
        common = widest.common(covered) if covered.start < widest.end and longest is not tag else None
        if common:
            overlaps.append(_overlap(case, facet, longest, tag, common))
        if covered.end > widest.end:
            longest, widest = tag, covered
        if last is not None and edge is not None and covered.start > edge + LONGEST_GAP and not covered.is_moment:
            gaps.append(_gap(case, facet, last, tag, Interval(edge, covered.start)))
        if (edge is None or covered.end >= edge) and not (covered.is_moment and covered.end != edge):
            edge, last = covered.end, tag
    return overlaps, gaps, _Reached(longest, edge, last)


def _overlaps_and_gaps(case: Case, known: Sequence[_Known]) -> list[Finding]:
    """In each exclusive facet every tag that starts while another runs, with the one that lasts longest.

    Then long untagged stretches between the first and the last tag of the finest of these facets in use.
    """
    overlaps: list[Finding] = []
    gaps: list[Finding] = []
    for facet in case.vocabulary.facets:
        chains = [one.chains[facet.name] for one in known if facet.name in one.chains]
        if chains:
            found, gaps = _along(case, facet.name, chains)
            overlaps += found
    return overlaps + gaps


def _along(case: Case, facet: str, chains: Iterable[_Chain]) -> tuple[list[Finding], list[Finding]]:
    """The overlaps and gaps of one exclusive facet from block to block.

    What is known of a block holds where all before it end before its first tag starts; else it is followed again.
    """
    overlaps: list[Finding] = []
    gaps: list[Finding] = []
    before: _Reached | None = None
    for chain in chains:
        start = case.range_of(chain.tags[0])
        found = chain.overlaps, chain.gaps, chain.reached
        if before is None:
            pass
        elif before.edge is None or start.is_moment or case.range_of(before.longest).end > start.start:
            found = _followed(case, facet, chain.tags, before)
        elif start.start > before.edge + LONGEST_GAP:
            gaps += _followed(case, facet, chain.tags[:1], before)[1]
        overlaps += found[0]
        gaps += found[1]
        before = found[2]
    return overlaps, gaps


def _overlap(case: Case, facet: str, one: Tag, other: Tag, common: Interval) -> Finding:
    says = (
        f"{_named(case, one)} and {_named(case, other)} share {_length(common.length)}, "
        f"but only one {facet} can be under way at a time."
    )
    return Finding("overlap", says, common.start, (one.id, other.id))


def _gap(case: Case, facet: str, before: Tag, after: Tag, gap: Interval) -> Finding:
    says = (
        f"Between {_named(case, before)} and {_named(case, after)} no {facet} is tagged "
        f"for {_length(gap.length)}; is one missing?"
    )
    return Finding("gap", says, gap.start, (before.id, after.id))


def _takes_nearly_all(case: Case, tag: Tag) -> Finding:
    share = case.range_of(tag).length / case.duration
    says = f"{_named(case, tag)} takes {share:.0%} of the case; was its end forgotten?"
    return Finding("long", says, tag.start, (tag.id,))


def _order(case: Case, known: Iterable[_Known]) -> list[Finding]:
    """Concepts that began before one that they usually follow; counted from the first tag of each."""
    first = _first_tags(case, known)
    found: list[Finding] = []
    for concept in case.vocabulary.concepts:
        tag = first.get(concept.notation)
        for notation in concept.usually_after if tag else ():
            earlier = first.get(notation)
            usual = case.vocabulary.by_notation.get(notation)
            if tag is not None and earlier is not None and usual is not None and tag.start < earlier.start:
                says = (
                    f"{concept.label()} begins at {clock(tag.start)}, before {usual.label()} at "
                    f"{clock(earlier.start)}, which it usually follows; was this tagged as meant?"
                )
                found.append(Finding("order", says, tag.start, (tag.id, earlier.id)))
    return found


def _first_tags(case: Case, known: Iterable[_Known]) -> Mapping[str, Tag]:
    """By notation the first tag of a concept or of anything narrower."""
    by_concept: dict[str, Tag] = {}
    for one in known:
        if not one.first.keys() <= by_concept.keys():
            by_concept.update((iri, tag) for iri, tag in one.first.items() if iri not in by_concept)
    first: dict[str, Tag] = {}
    for tag in by_concept.values():
        concept = case.concept_of(tag)
        for above in (concept, *case.vocabulary.ancestors(concept)) if concept else ():
            first.setdefault(above.notation, tag)
    return first


def _about(case: Case, tag: Tag, facet: Facet | None) -> Iterator[tuple[str, str]]:
    """What one tag alone gives rise to."""
    covered = case.range_of(tag)
    if facet is None:
        yield "unknown", f"{_named(case, tag)} has a term that the vocabulary {case.vocabulary.name} does not know."
    if tag.start < 0 or covered.end > case.duration:
        where = "lies outside" if tag.start >= case.duration else "reaches beyond"
        yield "outside", f"{_named(case, tag)} {where} the recording, which ends at {clock(case.duration)}."
    if not tag.confirmed:
        yield "unconfirmed", f"{_named(case, tag)} is only proposed; confirm it or take it out."
    if tag.is_running:
        yield "running", f"{_named(case, tag)} is still running; end it where it ends."
    elif covered.length < SHORTEST and not (facet and facet.moments and covered.is_moment):
        yield "short", f"{_named(case, tag)} lasts {_length(covered.length)}; was it meant?"
    elif facet and facet.moments and covered.length > LONGEST_EVENT:
        yield "long", f"{_named(case, tag)} lasts {_length(covered.length)}; was its end forgotten?"


def _nearly_all(case: Case, known: Iterable[_Known]) -> list[Finding]:
    """One of several tags of an exclusive facet that takes nearly the whole case."""
    found: list[Finding] = []
    for facet in case.vocabulary.facets:
        chains = [one.chains[facet.name] for one in known if facet.name in one.chains]
        if sum(len(chain.tags) for chain in chains) > 1:
            found += (finding for chain in chains for finding in chain.nearly_all)
    return found


def _named(case: Case, tag: Tag) -> str:
    """A tag in a sentence: its name and its times."""
    if tag.end is None:
        return f"{name_of(case, tag)} ({clock(tag.start)} on)"
    if tag.end == tag.start:
        return f"{name_of(case, tag)} at {clock(tag.start)}"
    return f"{name_of(case, tag)} ({clock(tag.start)} to {clock(tag.end)})"


def _length(ms: Ms) -> str:
    """A length in a sentence: seconds to the ms below a minute, else minutes and seconds."""
    return f"{ms / SECOND:g} s" if ms < MINUTE else f"{span(ms)} min"
