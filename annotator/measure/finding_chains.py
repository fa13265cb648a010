"""Questions about tags of which only one can be at a time: overlaps, gaps, and one that takes nearly all the case."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, named
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.timecode import MINUTE, Ms

# Both limits are common practice, no source: they ask for a look, and a fitting case may well break them.
LONG_GAP: Ms = MINUTE
"""Untagged time between two steps from which on it is more than changing instruments or looking around."""

NEARLY_ALL = 0.9
"""Share of the case above which one of several steps has probably not been ended."""


class Reached(NamedTuple):
    """How far the tags of an exclusive facet have come.

    longest  of those so far the one that lasts longest
    edge     up to where they reach; None while there were only moments
    last     the tag that ends there
    """

    longest: Tag
    edge: Ms | None = None
    last: Tag | None = None


class Chain(NamedTuple):
    """The tags of one exclusive facet in a block, and what they give rise to where none before reaches into it."""

    tags: Sequence[Tag]
    overlaps: Sequence[Finding]
    gaps: Sequence[Finding]
    reached: Reached
    nearly_all: Sequence[Finding]


def chain_of(case: Case, facet: str, tags: Sequence[Tag]) -> Chain:
    overlaps, gaps, reached = _followed(case, facet, tags, Reached(tags[0]))
    least = NEARLY_ALL * case.duration
    long_ones = (tag for tag in tags if not tag.is_running and case.range_of(tag).length > least)
    almost = [_takes_nearly_all(case, tag) for tag in long_ones if case.duration]
    return Chain(tags, overlaps, gaps, reached, almost)


def _followed(
    case: Case, facet: str, tags: Iterable[Tag], reached: Reached
) -> tuple[list[Finding], list[Finding], Reached]:
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
        if last is not None and edge is not None and covered.start >= edge + LONG_GAP and not covered.is_moment:
            gaps.append(_gap(case, facet, last, tag, Interval(edge, covered.start)))
        if (edge is None or covered.end >= edge) and not (covered.is_moment and covered.end != edge):
            edge, last = covered.end, tag
    return overlaps, gaps, Reached(longest, edge, last)


def overlaps_and_gaps(case: Case, known: Sequence[Mapping[str, Chain]]) -> list[Finding]:
    """In each exclusive facet every tag that starts while another runs, with the one that lasts longest.

    Then long untagged stretches between the first and the last tag of the finest of these facets in use.
    """
    overlaps: list[Finding] = []
    gaps: list[Finding] = []
    for facet in case.vocabulary.facets:
        chains = [one[facet.name] for one in known if facet.name in one]
        if chains:
            found, gaps = _along(case, facet.name, chains)
            overlaps += found
    return overlaps + gaps


def _along(case: Case, facet: str, chains: Iterable[Chain]) -> tuple[list[Finding], list[Finding]]:
    """The overlaps and gaps of one exclusive facet from block to block.

    What is known of a block holds where all before it end before its first tag starts; else it is followed again.
    """
    overlaps: list[Finding] = []
    gaps: list[Finding] = []
    before: Reached | None = None
    for chain in chains:
        start = case.range_of(chain.tags[0])
        found = chain.overlaps, chain.gaps, chain.reached
        if before is None:
            pass
        elif before.edge is None or start.is_moment or case.range_of(before.longest).end > start.start:
            found = _followed(case, facet, chain.tags, before)
        elif start.start >= before.edge + LONG_GAP:
            gaps += _followed(case, facet, chain.tags[:1], before)[1]
        overlaps += found[0]
        gaps += found[1]
        before = found[2]
    return overlaps, gaps


def _overlap(case: Case, facet: str, one: Tag, other: Tag, common: Interval) -> Finding:
    says = (
        f"{named(case, one)} and {named(case, other)} share {in_words(common.length)}, "
        f"but only one {facet} can be under way at a time."
    )
    return Finding("overlap", says, common.start, (one.id, other.id))


def _gap(case: Case, facet: str, before: Tag, after: Tag, gap: Interval) -> Finding:
    says = (
        f"Between {named(case, before)} and {named(case, after)} no {facet} is tagged "
        f"for {in_words(gap.length)}; is one missing?"
    )
    return Finding("gap", says, gap.start, (before.id, after.id))


def _takes_nearly_all(case: Case, tag: Tag) -> Finding:
    share = case.range_of(tag).length / case.duration
    says = f"{named(case, tag)} takes {share:.0%} of the case; was its end forgotten?"
    return Finding("long", says, tag.start, (tag.id,))


def nearly_all(case: Case, known: Iterable[Mapping[str, Chain]]) -> list[Finding]:
    """One of several tags of an exclusive facet that takes nearly the whole case."""
    found: list[Finding] = []
    for facet in case.vocabulary.facets:
        chains = [one[facet.name] for one in known if facet.name in one]
        if sum(len(chain.tags) for chain in chains) > 1:
            found += (finding for chain in chains for finding in chain.nearly_all)
    return found
