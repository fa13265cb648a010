"""Questions about tags of which only one can be at a time: overlaps, gaps, and one that takes nearly all the case."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

from annotator.measure.finding import Finding, in_words, named
from annotator.model.case import Case, Tag
from annotator.model.interval import Interval
from annotator.model.tag_list import Block
from annotator.model.timecode import MINUTE, Ms
from annotator.model.vocabulary import Facet

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
    """Neighbouring tags of one exclusive facet, and what they give rise to, by themselves and with those before."""

    tags: Sequence[Tag]
    overlaps: Sequence[Finding]
    gaps: Sequence[Finding]
    nearly_all: Sequence[Finding]


def chains(case: Case) -> Mapping[str, Sequence[Chain]]:
    """The tags of every exclusive facet in use, in order of time, from the coarsest facet to the finest."""
    found = {facet.name: _chains(case, facet) for facet in case.vocabulary.facets if facet.exclusive}
    return {name: all_ for name, all_ in found.items() if all_}


def _chains(case: Case, facet: Facet) -> list[Chain]:
    terms, on = case.terms(facet.name), (case.vocabulary, case.duration)

    def follow(block: Block, before: Reached | None) -> tuple[Chain, Reached | None]:
        tags = [tag for tag in block if tag.concept in terms] if not terms.isdisjoint(block.concepts) else []
        return _followed(case, facet.name, tags, before or Reached(tags[0])) if tags else (_NONE, before)

    start: Reached | None = None
    return [one for one in case.tag_list.walk(f"chain of {facet.name}", on, start, follow, _joined)[0] if one.tags]


def _joined(parts: Sequence[Chain]) -> Chain:
    return Chain(*(list(chain.from_iterable(each)) for each in zip(*parts, strict=True)))


_NONE = Chain((), (), (), ())


def _followed(case: Case, facet: str, tags: Sequence[Tag], reached: Reached) -> tuple[Chain, Reached]:
    """What tags of an exclusive facet make with those before them, and how far they come."""
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
    return Chain(tags, overlaps, gaps, _nearly_all(case, tags)), Reached(longest, edge, last)


def _nearly_all(case: Case, tags: Iterable[Tag]) -> list[Finding]:
    least = NEARLY_ALL * case.duration
    long_ones = (tag for tag in tags if not tag.is_running and case.range_of(tag).length > least)
    return [_takes_nearly_all(case, tag) for tag in long_ones if case.duration]


def asked(known: Mapping[str, Sequence[Chain]]) -> list[Finding]:
    """In each exclusive facet every tag that starts while another runs, with the one that lasts longest.

    Then long untagged stretches between the first and the last tag of the finest of these facets in use; and of several
    tags of a facet one that takes nearly the whole case.
    """
    finest = [gap for all_ in list(known.values())[-1:] for one in all_ for gap in one.gaps]
    several = [all_ for all_ in known.values() if sum(len(one.tags) for one in all_) > 1]
    return [
        *(overlap for all_ in known.values() for one in all_ for overlap in one.overlaps),
        *finest,
        *(almost for all_ in several for one in all_ for almost in one.nearly_all),
    ]


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
