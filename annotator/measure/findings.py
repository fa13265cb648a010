"""What may be wrong with the tags of a case. A finding is a question in a full sentence, never a verdict."""

from collections.abc import Callable, Iterator, Mapping

import msgspec

from annotator.model.case import Case, Tag
from annotator.model.edits import name_of
from annotator.model.interval import Interval, gaps, union
from annotator.model.timecode import MINUTE, SECOND, Ms, clock, span
from annotator.model.vocabulary import Concept

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


def findings(case: Case) -> tuple[Finding, ...]:
    """Everything found, in order of time. Limits and what each kind means: docs/measures.md."""
    found = [finding for check in _CHECKS for finding in check(case)]
    return tuple(sorted(found, key=lambda finding: finding.at))


def _overlaps(case: Case) -> Iterator[Finding]:
    """In each exclusive facet every tag that starts while another runs, with the one that lasts longest."""
    for facet in case.vocabulary.facets:
        running: Tag | None = None
        for tag in case.in_facet(facet.name) if facet.exclusive else ():
            covered = case.range_of(tag)
            common = case.range_of(running).common(covered) if running else None
            if running and common:
                says = (
                    f"{_named(case, running)} and {_named(case, tag)} share {_length(common.length)}, "
                    f"but only one {facet.name} can be under way at a time."
                )
                yield Finding("overlap", says, common.start, (running.id, tag.id))
            if running is None or covered.end > case.range_of(running).end:
                running = tag


def _gaps(case: Case) -> Iterator[Finding]:
    """Long untagged stretches between the first and the last tag of the finest exclusive facet in use."""
    in_use = [one.name for one in case.vocabulary.facets if one.exclusive and any(case.in_facet(one.name))]
    tags = list(case.in_facet(in_use[-1])) if in_use else []
    covered = union(case.range_of(tag) for tag in tags)
    if not covered:
        return
    ending = {case.range_of(tag).end: tag for tag in tags}
    starting = {tag.start: tag for tag in reversed(tags)}
    for gap in gaps(covered, Interval(covered[0].start, covered[-1].end)):
        if gap.length > LONGEST_GAP:
            before, after = ending[gap.start], starting[gap.end]
            says = (
                f"Between {_named(case, before)} and {_named(case, after)} no {in_use[-1]} is tagged "
                f"for {_length(gap.length)}; is one missing?"
            )
            yield Finding("gap", says, gap.start, (before.id, after.id))


def _order(case: Case) -> Iterator[Finding]:
    """Concepts that began before one that they usually follow; counted from the first tag of each."""
    first = _first_tags(case)
    for concept in case.vocabulary.concepts:
        if concept.notation not in first:
            continue
        tag = first[concept.notation]
        for notation in concept.usually_after:
            earlier = first.get(notation)
            usual = case.vocabulary.by_notation.get(notation)
            if earlier is not None and usual is not None and tag.start < earlier.start:
                says = (
                    f"{concept.label()} begins at {clock(tag.start)}, before {usual.label()} at "
                    f"{clock(earlier.start)}, which it usually follows; was this tagged as meant?"
                )
                yield Finding("order", says, tag.start, (tag.id, earlier.id))


def _first_tags(case: Case) -> Mapping[str, Tag]:
    """By notation the first tag of a concept or of anything narrower."""
    first: dict[str, Tag] = {}
    for tag in case.tags:
        concept = case.concept_of(tag)
        for one in (concept, *case.vocabulary.ancestors(concept)) if concept else ():
            first.setdefault(one.notation, tag)
    return first


def _single(case: Case) -> Iterator[Finding]:
    """What one tag alone gives rise to."""
    for tag in case.tags:
        for kind, says in _about(case, tag, case.concept_of(tag)):
            yield Finding(kind, says, tag.start, (tag.id,))


def _about(case: Case, tag: Tag, concept: Concept | None) -> Iterator[tuple[str, str]]:
    facet = case.facet_of(tag)
    length = case.range_of(tag).length
    named = _named(case, tag)
    if concept is None:
        yield "unknown", f"{named} has a term that the vocabulary {case.vocabulary.name} does not know."
    if tag.start < 0 or case.range_of(tag).end > case.duration:
        where = "lies outside" if tag.start >= case.duration else "reaches beyond"
        yield "outside", f"{named} {where} the recording, which ends at {clock(case.duration)}."
    if not tag.confirmed:
        yield "unconfirmed", f"{named} is only proposed; confirm it or take it out."
    if tag.is_running:
        yield "running", f"{named} is still running; end it where it ends."
    elif length < SHORTEST and not (facet and facet.moments and length == 0):
        yield "short", f"{named} lasts {_length(length)}; was it meant?"
    elif facet and facet.moments and length > LONGEST_EVENT:
        yield "long", f"{named} lasts {_length(length)}; was its end forgotten?"


def _nearly_all(case: Case) -> Iterator[Finding]:
    """One of several tags of an exclusive facet that takes nearly the whole case."""
    for facet in case.vocabulary.facets if case.duration else ():
        tags = list(case.in_facet(facet.name)) if facet.exclusive else []
        for tag in tags if len(tags) > 1 else ():
            length = case.range_of(tag).length
            if not tag.is_running and length > NEARLY_ALL * case.duration:
                says = f"{_named(case, tag)} takes {length / case.duration:.0%} of the case; was its end forgotten?"
                yield Finding("long", says, tag.start, (tag.id,))


_CHECKS: tuple[Callable[[Case], Iterator[Finding]], ...] = (_overlaps, _gaps, _order, _single, _nearly_all)


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
