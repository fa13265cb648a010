"""Questions about how long one occurrence of a concept takes, as its vocabulary says what is usual.

An occurrence is one uninterrupted stretch: tags of a concept that overlap or touch are one. A moment has no length and
is not asked about, and neither is what is still running. Where a recording was cut or sped up, nothing is too short
for sure, and where it was slowed down, nothing too long.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import chain
from typing import NamedTuple

from annotator.measure.durations import altered_of
from annotator.measure.finding import Finding, in_words, times
from annotator.model.case import Case, Tag
from annotator.model.concept_rules import UsualTime
from annotator.model.recording import Altered
from annotator.model.tag_list import Block
from annotator.model.timecode import MINUTE, SECOND, Ms
from annotator.model.vocabulary import Concept

SHORTEST: Ms = SECOND // 2
"""A tag below this is more likely two keys pressed by accident than a step; common practice, no source."""

LONGEST_EVENT: Ms = 5 * MINUTE
"""An event that was left open rather than meant, where its vocabulary says nothing; common practice, no source."""


class Occurrence(NamedTuple):
    """A stretch, and the first and the last tag of those that make it."""

    start: Ms
    end: Ms
    is_running: bool
    first_id: str
    last_id: str


Open = Mapping[str, Occurrence]
"""By concept IRI the last occurrence, where a later tag may go on with it."""


def unusual_times(case: Case) -> list[Finding]:
    """The occurrences that are shorter or longer than usual."""
    altered = altered_of(case)
    usual = {
        one.iri: (one, _as_filmed(usual_time(case, one), altered))
        for one in case.vocabulary.concepts
        if has_usual_time(case, one)
    }

    def follow(block: Block, before: Open) -> tuple[list[Finding], Open]:
        ended, still_open = _followed(case, {iri: block.by_term[iri] for iri in usual.keys() & block.concepts}, before)
        last = block[-1].start  # none behind it starts earlier
        ended += ((iri, one) for iri, one in still_open.items() if one.end < last)
        return _all_asked(ended), {iri: one for iri, one in still_open.items() if one.end >= last}

    def _all_asked(ended: Iterable[tuple[str, Occurrence]]) -> list[Finding]:
        return [finding for iri, one in ended for finding in _asked(*usual[iri], one)]

    start: Open = {}
    on = case.vocabulary, case.duration, altered
    found, left = case.tag_list.walk("times", on, start, follow, _joined)
    return [*_joined(found), *_all_asked(left.items())]


def _joined(parts: Iterable[Iterable[Finding]]) -> list[Finding]:
    return list(chain.from_iterable(parts))


def _followed(
    case: Case, by_term: Mapping[str, Sequence[Tag]], before: Open
) -> tuple[list[tuple[str, Occurrence]], Open]:
    """The occurrences that tags, in order of time, show to have ended, and those that may go on."""
    ended: list[tuple[str, Occurrence]] = []
    still_open = dict(before)
    for iri, tags in by_term.items():
        for tag in tags:
            one, last = (
                Occurrence(tag.start, case.range_of(tag).end, tag.is_running, tag.id, tag.id),
                still_open.get(iri),
            )
            if last is not None and tag.start <= last.end:
                one = _as_one(last, one)
            elif last is not None:
                ended.append((iri, last))
            still_open[iri] = one
    return ended, still_open


def _as_filmed(usual: UsualTime, altered: Collection[Altered]) -> UsualTime:
    """What is still unusual in a film that was altered so."""
    is_shorter = Altered.CUT in altered or Altered.SPED_UP in altered
    is_longer = Altered.SLOWED in altered
    return UsualTime(None if is_shorter else usual.least, None if is_longer else usual.most)


def has_usual_time(case: Case, concept: Concept) -> bool:
    return usual_time(case, concept) != UsualTime()


def usual_time(case: Case, concept: Concept) -> UsualTime:
    """What the vocabulary says of it, else of the nearest broader one of its category; of an event of which it says
    nothing, what holds for all of them.
    """
    line = case.vocabulary.lineage(concept, concept.facet)
    said = next((one.rules.usual_time for one in line if one.rules.usual_time != UsualTime()), None)
    if said is None and case.vocabulary.facet(concept.facet).moments:
        return UsualTime(most=LONGEST_EVENT)
    return said or UsualTime()


def _as_one(before: Occurrence, after: Occurrence) -> Occurrence:
    return Occurrence(
        before.start,
        max(before.end, after.end),
        before.is_running or after.is_running,
        before.first_id,
        after.last_id,
    )


def _asked(concept: Concept, usual: UsualTime, one: Occurrence) -> list[Finding]:
    length = one.end - one.start
    if one.is_running or not length:
        return []
    if usual.most is not None and length > usual.most:
        return [_unusual("long", concept, one, f"{in_words(usual.most)} at most; was its end forgotten?")]
    if usual.least is not None and SHORTEST <= length < usual.least:  # what is shorter is asked about as a tag
        return [_unusual("short", concept, one, f"{in_words(usual.least)} at least; was this all of it?")]
    return []


def _unusual(kind: str, concept: Concept, one: Occurrence, usually: str) -> Finding:
    called = f"{concept.label()} {times(one.start, one.end)} lasts {in_words(one.end - one.start)}"
    return Finding(
        kind, f"{called}, and usually {usually}", one.start, tuple(dict.fromkeys((one.first_id, one.last_id)))
    )
